"""Laws of the cooling joint: what moves the wait which way, what is kept whole, and what no answer may pass.

In: joints of small, usual and large walls, and a model of the round joint in two dimensions, written for
these tests alone: explicit in time, on an even grid, with its own heat content.
Out: a failure that names the joint.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.typing import NDArray

from packgen.calc.heat import POLYETHYLENE, HeatCase, Plastic, cool, extra_wait
from packgen.calc.heat_march import march
from packgen.calc.heat_mesh import heat_content, mesh
from packgen.errors import OutOfRange

Array = NDArray[np.float64]

USUAL = HeatCase(12.0, 10.4, 3.5, 1000.0, 90.0, 80.0, film_outside=8.0, film_inside=3.0)
# Thin walls freeze from side to side, after the first bands are cool; thick ones hardly feel their films.
JOINTS = {
    "usual": USUAL,
    "thin walls": replace(USUAL, fitting_wall=5.0, pipe_wall=3.0),
    "little heat": replace(USUAL, fitting_wall=5.0, pipe_wall=3.0, energy=2.0, fusion_time=40.0),
    "thin pipe": replace(USUAL, fitting_wall=10.0, pipe_wall=5.5, film_outside=5.0, end_temperature=90.0),
    "thick walls": replace(USUAL, fitting_wall=20.0, pipe_wall=16.6, energy=3.9, fusion_time=165.0),
    "thin on thick": replace(USUAL, fitting_wall=16.0, pipe_wall=29.4, fusion_time=230.0),
    "wind": replace(USUAL, film_outside=12.0),
    # The worst of a hundred drawn at random: for steps that are too long, for stages that have not settled,
    # and for too plain a line between the points.
    "frozen in one step": HeatCase(9.7, 2.5, 3.94, 1000.0, 124.0, 90.0, film_outside=10.5, film_inside=3.7),
    "melt between points": HeatCase(
        18.2, 21.4, 4.19, 1000.0, 141.0, 90.0, film_outside=10.6, film_inside=4.0
    ),
    "read between points": HeatCase(20.2, 18.5, 4.4, 1000.0, 194.0, 90.0, film_outside=7.1, film_inside=4.3),
}
REFERENCE = 23.0
BANDS = (0.0, 10.0, 20.0, REFERENCE, 30.0, 40.0, 50.0)
LINEAR = Plastic(0.40, 950.0, ((20.0, 2.4),))

each_joint = pytest.mark.parametrize("case", JOINTS.values(), ids=JOINTS)


def extras(case: HeatCase, fineness: int = 1) -> list[float]:
    """The extra wait of each band over the reference."""
    seconds = cool(case, BANDS, fineness).seconds
    return [extra_wait(at_band, seconds[BANDS.index(REFERENCE)]) for at_band in seconds]


@each_joint
def test_no_heat_is_lost_or_made(case: HeatCase) -> None:
    """What was put in is in the walls or gone through the films, to one part in a thousand."""
    cooling = cool(case, BANDS)
    assert cooling.heat_put_in == case.energy
    assert max(abs(missing) for missing in cooling.heat_missing) < 0.001 * case.energy


def test_the_heat_is_found_again_in_the_temperatures() -> None:
    """Counted anew: trapezoids under the surfaces' losses and a sum over heat capacity, none the solver's."""
    walls, around, flux = mesh(12.0, 10.4, 0.40, 40, 1.05), 23.0, 3.5e6 / 90.0
    content = heat_content(950.0, POLYETHYLENE.capacities, POLYETHYLENE.latent, POLYETHYLENE.melting)
    steps = [(0.5, flux)] * 180 + [(0.5, 0.0)] * 200 + [(5.0, 0.0)] * 300
    at = np.array([around])
    moments = list(march(walls, content, at, at, (8.0, 3.0), steps))
    times = [moment.time for moment in moments]
    lost = [
        film * float(np.trapezoid([moment.temperature[row, 0] - around for moment in moments], times))
        for row, film in enumerate((8.0, 3.0))
    ]
    stored = float(
        walls.volume[:, 0] @ (own_content(moments[-1].temperature[:, 0]) - own_content(np.full(81, around)))
    )
    assert stored + sum(lost) == pytest.approx(3.5e6, rel=0.001)
    assert lost == pytest.approx(moments[-1].lost[:, 0].tolist(), rel=0.002)


@each_joint
def test_half_the_mesh_and_half_the_step_move_the_extra_wait_by_less_than_a_hundredth(case: HeatCase) -> None:
    usual, halved = extras(case), extras(case, fineness=2)
    assert usual == pytest.approx(halved, rel=0.01)
    assert usual[-1] > 300.0


@each_joint
def test_a_hotter_day_never_shortens_the_wait(case: HeatCase) -> None:
    """Rises strictly wherever the plane was above the end temperature at all; no band takes time off."""
    cooling = cool(case, BANDS)
    assert all(early < late for early, late in pairwise(cooling.seconds))
    assert all(early < late for early, late in pairwise(cooling.peaks))
    added = extras(case)
    assert added[: BANDS.index(REFERENCE) + 1] == [0.0] * 4
    assert all(extra > 0.0 for extra in added[BANDS.index(REFERENCE) + 1 :])


def test_ambients_a_degree_apart_keep_their_order() -> None:
    """The noise of mesh and steps is smaller than what a degree makes."""
    seconds = cool(USUAL, [float(ambient) for ambient in range(-10, 51)]).seconds
    steps = [late - early for early, late in pairwise(seconds)]
    assert min(steps) > 0.0


@each_joint
def test_more_heat_in_the_same_time_takes_longer_to_leave(case: HeatCase) -> None:
    at_lengths = [cool(replace(case, energy=case.energy * share), (23.0, 40.0)) for share in (0.9, 1.0, 1.1)]
    for ambient in (0, 1):
        assert (
            at_lengths[0].seconds[ambient] < at_lengths[1].seconds[ambient] < at_lengths[2].seconds[ambient]
        )
        assert at_lengths[0].peaks[ambient] < at_lengths[1].peaks[ambient] < at_lengths[2].peaks[ambient]
        for wall in (0, 1):
            depths = [cooling.melted[ambient][wall] for cooling in at_lengths]
            assert depths == sorted(depths)


@each_joint
def test_less_film_and_a_lower_end_temperature_take_longer(case: HeatCase) -> None:
    """Both work rules move the wait the way that their sensitivity says."""
    (usual,) = cool(case, [40.0]).seconds
    assert cool(replace(case, film_outside=case.film_outside - 2.0), [40.0]).seconds[0] > usual
    assert cool(replace(case, film_inside=case.film_inside - 2.0), [40.0]).seconds[0] > usual
    assert cool(replace(case, end_temperature=case.end_temperature - 5.0), [40.0]).seconds[0] > usual


@given(st.floats(0.0, 1e5), st.floats(0.0, 1e5))
def test_the_extra_wait_is_the_difference_and_never_takes_time_off(at_band: float, reference: float) -> None:
    extra = extra_wait(at_band, reference)
    assert extra >= 0.0
    assert reference + extra == pytest.approx(max(at_band, reference))


def test_without_melting_all_bands_follow_from_one_curve() -> None:
    """With one heat capacity and no latent heat only the difference to the ambient counts."""
    case = replace(USUAL, plastic=LINEAR)
    cooling = cool(case, (0.0, 23.0, 40.0))
    rises = [
        [temperature - ambient for temperature in curve]
        for ambient, curve in zip(cooling.ambients, cooling.curves, strict=True)
    ]
    assert rises[0] == pytest.approx(rises[1], abs=1e-6)
    assert rises[0] == pytest.approx(rises[2], abs=1e-6)
    same_left = cool(replace(case, end_temperature=63.0), [23.0])
    assert same_left.seconds[0] == pytest.approx(cooling.seconds[2], rel=1e-6)


def test_melting_is_no_shift_of_one_curve() -> None:
    """The law above is one of linear plastic: with latent heat the curves do part."""
    cooling = cool(USUAL, (0.0, 40.0))
    assert abs((cooling.peaks[1] - 40.0) - cooling.peaks[0]) > 5.0


@each_joint
def test_a_band_alone_and_among_others_takes_the_same_time(case: HeatCase) -> None:
    """To the last digit, so that a value does not depend on what else is printed."""
    together = cool(case, BANDS)
    for index in (0, 4, 6):
        alone = cool(case, [BANDS[index]])
        assert alone.seconds[0] == together.seconds[index]
        assert alone.peaks[0] == together.peaks[index]
        assert alone.melted[0] == together.melted[index]


@each_joint
def test_the_curve_rises_to_its_peak_at_fusion_end_and_then_only_falls(case: HeatCase) -> None:
    cooling = cool(case, BANDS)
    for ambient, curve, peak in zip(cooling.ambients, cooling.curves, cooling.peaks, strict=True):
        top = curve.index(peak)
        assert cooling.times[top] == pytest.approx(0.0, abs=1e-6)
        assert cooling.times[0] == pytest.approx(-case.fusion_time)
        assert curve[0] == ambient
        assert list(curve[: top + 1]) == sorted(curve[: top + 1])
        assert list(curve[top:]) == sorted(curve[top:], reverse=True)
        assert curve[-1] <= case.end_temperature


@each_joint
def test_the_wait_ends_on_the_curve(case: HeatCase) -> None:
    """A straight line between the curve's points comes within a few parts in a hundred."""
    cooling = cool(case, BANDS, fineness=2)
    for curve, seconds in zip(cooling.curves, cooling.seconds, strict=True):
        assert np.interp(seconds, cooling.times, curve) == pytest.approx(case.end_temperature, abs=1.0)


def test_a_plane_that_never_was_hot_needs_no_wait() -> None:
    assert cool(replace(USUAL, energy=0.5), (0.0, 23.0)).seconds == (0.0, 0.0)


@each_joint
def test_what_melts_lies_within_the_walls_and_only_a_hot_plane_melts_any(case: HeatCase) -> None:
    cooling = cool(case, BANDS)
    for (fitting, pipe), peak in zip(cooling.melted, cooling.peaks, strict=True):
        assert (fitting > 0.0) == (pipe > 0.0) == (peak > 135.0)
        assert fitting <= case.fitting_wall
        assert pipe <= case.pipe_wall


def test_melt_reaches_both_walls_alike_where_both_are_thick_and_none_without_melting() -> None:
    """A wall that melts through says so, and is not taken for the other."""
    ((fitting, pipe),) = cool(replace(USUAL, fitting_wall=20.0, pipe_wall=16.0), [23.0]).melted
    assert fitting == pytest.approx(pipe, rel=0.03)
    ((fitting, pipe),) = cool(JOINTS["thin walls"], [23.0]).melted
    assert pipe == 3.0
    assert pipe > fitting > 2.0
    assert cool(replace(USUAL, plastic=LINEAR), [23.0]).melted == ((0.0, 0.0),)


def test_the_heat_content_gives_its_temperature_back() -> None:
    content = heat_content(950.0, POLYETHYLENE.capacities, POLYETHYLENE.latent, POLYETHYLENE.melting)
    temperatures = np.linspace(-30.0, 300.0, 500)
    held, slope = content.at(temperatures)
    assert content.temperature_of(held) == pytest.approx(temperatures)
    assert (np.diff(held) > 0.0).all()
    assert held - held[0] == pytest.approx(own_content(temperatures) - own_content(temperatures)[0], rel=1e-3)
    # 190 kJ/kg over 30 K beside the heat capacity half-way, 2.4 to 2.6 kJ/(kg*K).
    assert float(slope[np.searchsorted(temperatures, 120.0)]) / 950e3 == pytest.approx(6.33 + 2.51, abs=0.02)


@pytest.mark.parametrize(
    ("change", "key"),
    [
        ({"fitting_wall": 0.0}, "fitting_wall"),
        ({"pipe_wall": -1.0}, "pipe_wall"),
        ({"energy": math.nan}, "energy"),
        ({"fusion_area": 0.0}, "fusion_area"),
        ({"fusion_time": 0.0}, "fusion_time"),
        ({"film_outside": -1.0}, "film_outside"),
        ({"film_inside": math.inf}, "film_inside"),
        ({"end_temperature": 40.0}, "end_temperature"),
        ({"plane_radius": 10.0}, "second_wall"),
        ({"film_outside": 0.0, "film_inside": 0.0, "end_temperature": 70.0}, "end_temperature"),
        ({"plastic": replace(POLYETHYLENE, capacities=())}, "capacities"),
        ({"plastic": replace(POLYETHYLENE, capacities=((20.0, 2.0), (20.0, 2.1)))}, "capacities"),
        ({"plastic": replace(POLYETHYLENE, capacities=((20.0, 0.0),))}, "heat_capacity"),
        ({"plastic": replace(POLYETHYLENE, melting=None)}, "melting"),
        ({"plastic": replace(POLYETHYLENE, conductivity=0.0)}, "conductivity"),
    ],
)
def test_what_no_joint_can_have_is_refused_by_name(change: dict[str, Any], key: str) -> None:
    with pytest.raises(OutOfRange) as refused:
        cool(replace(USUAL, **change), [40.0])
    assert [problem.place.key for problem in refused.value.problems] == [key]


@pytest.mark.parametrize("ambients", [[], [math.nan], [23.0, 80.0]])
def test_ambients_that_no_wait_can_be_worked_out_for_are_refused(ambients: list[float]) -> None:
    with pytest.raises(OutOfRange):
        cool(USUAL, ambients)


def own_content(temperature: Array) -> Array:
    """Heat in J/m3: 1.9 kJ/(kg*K) at 20 °C to 2.6 at 135 °C, and 190 kJ/kg between 105 and 135 °C."""
    grid = np.linspace(-40.0, 600.0, 64_001)
    capacity = np.interp(grid, [20.0, 135.0], [1900.0, 2600.0])
    sensible = np.concatenate([[0.0], np.cumsum((capacity[1:] + capacity[:-1]) / 2.0 * np.diff(grid))])
    latent = 190_000.0 * np.clip((grid - 105.0) / 30.0, 0.0, 1.0)
    found: Array = np.interp(temperature, grid, 950.0 * (sensible + latent))
    return found


@dataclass(frozen=True)
class RoundJoint:
    """A fitting round a pipe, mirrored at the middle of its heated zone; whole millimetres."""

    pipe_radius: int  # outside
    fitting_wall: int
    pipe_wall: int
    heated: int  # half the heated length
    fitting: int  # half the fitting's length
    pipe: int  # half the pipe's length in the model

    def case(self) -> HeatCase:
        """The same joint in one dimension."""
        return replace(USUAL, fitting_wall=float(self.fitting_wall), pipe_wall=float(self.pipe_wall))


def seconds_in_two_dimensions(joint: RoundJoint, ambient: float, cell: float = 0.001) -> float:
    """Seconds from the end of heating until no part of the plane is above the end temperature."""
    case = joint.case()
    rows, columns = joint.pipe_wall + joint.fitting_wall, joint.pipe
    inner = (joint.pipe_radius - joint.pipe_wall) * 0.001
    faces = inner + cell * np.arange(rows + 1)
    middles = (faces[1:] + faces[:-1]) / 2.0
    solid = np.ones((rows, columns), dtype=bool)
    solid[joint.pipe_wall :, joint.fitting :] = False
    volume = (middles * cell * cell)[:, None]
    # W/K for each radian round the axis, between neighbours; none where one of them is air.
    outward = (0.40 * faces[1:-1])[:, None] * (solid[1:] & solid[:-1])
    along = (0.40 * middles)[:, None] * (solid[:, 1:] & solid[:, :-1])
    films = np.zeros((rows, columns))
    films[0] += case.film_inside * faces[0] * cell
    films[-1] += case.film_outside * faces[-1] * cell
    films[joint.pipe_wall - 1] += case.film_outside * faces[joint.pipe_wall] * cell * ~solid[joint.pipe_wall]
    films[:, :-1] += (case.film_outside * middles * cell)[:, None] * (solid[:, :-1] & ~solid[:, 1:])
    films *= solid
    flux = case.energy / case.fusion_area * 1e9 / case.fusion_time
    heated = flux * faces[joint.pipe_wall] * cell / 2.0 * (np.arange(columns) < joint.heated)
    grid = np.linspace(-40.0, 600.0, 6_401)
    table = own_content(grid)
    temperature = np.full((rows, columns), ambient)
    content = own_content(temperature)
    step, time = 0.9 * cell**2 / (4.0 * 0.40 / (950.0 * 1900.0)), 0.0
    while time < 6.0 * 3600.0:
        gain = -films * (temperature - ambient)
        flow = outward * np.diff(temperature, axis=0)
        gain[:-1] += flow
        gain[1:] -= flow
        flow = along * np.diff(temperature, axis=1)
        gain[:, :-1] += flow
        gain[:, 1:] -= flow
        share = min(1.0, max(0.0, (case.fusion_time - time) / step))
        gain[joint.pipe_wall - 1] += share * heated
        gain[joint.pipe_wall] += share * heated
        content = content + step * gain / volume
        temperature = np.interp(content, table, grid)
        time += step
        beside = (temperature[joint.pipe_wall - 1] + temperature[joint.pipe_wall]) / 2.0
        if time > case.fusion_time + step and beside[: joint.heated].max() <= case.end_temperature:
            return time - case.fusion_time
    raise AssertionError("the plane is still hot after six hours")


def test_the_model_in_two_dimensions_is_sound() -> None:
    """Without ends it is the round joint in one dimension, within a part in a hundred."""
    endless = RoundJoint(57, 12, 10, heated=2, fitting=2, pipe=2)
    for ambient in (23.0, 40.0):
        (found,) = cool(replace(endless.case(), plane_radius=57.0), [ambient], fineness=2).seconds
        assert seconds_in_two_dimensions(endless, ambient) == pytest.approx(found, rel=0.01)


ENDED = (
    RoundJoint(57, 12, 10, heated=30, fitting=45, pipe=110),
    RoundJoint(30, 8, 6, heated=25, fitting=40, pipe=100),
    RoundJoint(84, 12, 15, heated=40, fitting=60, pipe=130),
)
THIN_ON_THICK = RoundJoint(162, 16, 29, heated=60, fitting=85, pipe=160)

each_ambient = pytest.mark.parametrize("ambient", [23.0, 40.0])


def flat_and_round(joint: RoundJoint, ambient: float) -> tuple[float, float]:
    """The two answers in one dimension, s."""
    flat, bent = (
        cool(replace(joint.case(), plane_radius=radius), [ambient]).seconds[0]
        for radius in (None, float(joint.pipe_radius))
    )
    return flat, bent


@each_ambient
@pytest.mark.parametrize("joint", ENDED, ids=lambda joint: f"{joint.fitting_wall} on {joint.pipe_wall} mm")
def test_a_joint_with_ends_cools_sooner_than_one_dimension_says(joint: RoundJoint, ambient: float) -> None:
    """Heat runs off along the pipe."""
    assert seconds_in_two_dimensions(joint, ambient) < min(flat_and_round(joint, ambient))


@each_ambient
def test_only_the_round_case_bounds_a_thin_fitting_on_a_thick_pipe(ambient: float) -> None:
    """Within the plane a round wall has less room for heat than a flat one, which falls short by a little."""
    flat, bent = flat_and_round(THIN_ON_THICK, ambient)
    found = seconds_in_two_dimensions(THIN_ON_THICK, ambient)
    assert flat < found < bent
    assert found == pytest.approx(flat, rel=0.05)
