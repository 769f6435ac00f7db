"""One module for each question a crew asks: pure functions from stated values to worked ones."""
