"""Torque guidance against a text of machine design and the standard's table of stress areas."""

from __future__ import annotations

import pytest

from packgen.calc.torque import proof_force, stress_area, torque

LBF = 4.4482216152605  # N
INCH = 25.4  # mm


@pytest.mark.parametrize(
    ("diameter", "pitch", "printed"),
    [(5.0, 0.8, 14.2), (6.0, 1.0, 20.1), (8.0, 1.25, 36.6), (10.0, 1.5, 58.0), (12.0, 1.75, 84.3)],
)
def test_the_stress_areas_of_iso_898_1(diameter: float, pitch: float, printed: float) -> None:
    """ISO 898-1, nominal stress areas of coarse threads, to the printed digit."""
    assert round(stress_area(diameter, pitch), 1) == printed


def test_wentzell_example_6_1() -> None:
    """Wentzell, Machine Design, Example 6.1: ¾ UNC, .334 in², 85 % of 85 ksi, K .2: 3619.7 lb·in."""
    kilopascal_of_psi = LBF / (INCH / 1000.0) ** 2 / 1000.0
    force = proof_force(0.334 * INCH**2, 85_000.0 * kilopascal_of_psi, 85.0)
    assert round(force / LBF, 1) == 24131.5
    turned = torque(0.2, force, 0.75 * INCH)
    assert turned / (LBF * INCH / 1000.0) == pytest.approx(3619.7, abs=0.05)


def test_proof_stresses_of_the_screw_materials_file() -> None:
    """ISO 898-1 class 8.8: 580 MPa; ISO 3506-1 A2-70: 450 MPa."""
    from packgen.model.load import load

    found = load(prose=False).screw_materials
    stresses = {name: metal.proof_stress.to("MPa") for name, metal in found.items()}
    assert stresses == {"A2-70": 450.0, "8.8": 580.0}
