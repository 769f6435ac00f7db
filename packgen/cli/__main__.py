"""`python -m packgen.cli` runs the command line."""

from packgen.cli import main

main()
