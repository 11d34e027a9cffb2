"""Each inverse leads back to where its formula started."""

from __future__ import annotations

from math import exp

import pytest
from hypothesis import given
from hypothesis import strategies as st

from evenbarrel.trade import capacity, filling, geometry, recovery, repeatability, residence
from evenbarrel.trade.mould import cooling

diameters = st.floats(0.012, 0.25)
strokes = st.floats(0.02, 1.5)
shares = st.floats(0.05, 1.5)
densities = st.floats(500.0, 2000.0)
masses = st.floats(1e-4, 20.0)
times = st.floats(0.5, 300.0)


def same(value: float):
    return pytest.approx(value, rel=1e-9)


@given(diameter=diameters, stroke=strokes)
def test_diameter_and_stroke_come_back_from_the_volume(diameter, stroke):
    volume = geometry.swept_volume(diameter, stroke)
    assert geometry.diameter_from_volume(volume, stroke) == same(diameter)
    assert geometry.stroke_from_volume(volume, diameter) == same(stroke)
    assert geometry.diameter_from_area(geometry.screw_area(diameter)) == same(diameter)


@given(diameter=diameters, value=st.floats(1e-3, 1e6))
def test_pressure_rate_and_speed_come_back(diameter, value):
    area = geometry.screw_area(diameter)
    assert geometry.pressure_from_force(geometry.axial_force(value, area), area) == same(value)
    assert geometry.injection_rate(geometry.injection_speed(value, area), area) == same(value)
    speed = geometry.peripheral_speed(diameter, value)
    assert geometry.rotational_speed(diameter, speed) == same(value)
    force = geometry.force_from_size_number(value, diameter)
    assert geometry.size_number_from_force(force, diameter) == same(value)


@given(density=densities, leak=st.floats(0.0, 0.5), mass=masses)
def test_leak_share_and_mass_come_back(density, leak, mass):
    factor = filling.output_factor(density, leak)
    assert filling.implied_leak_share(factor, density) == pytest.approx(leak, abs=1e-9)
    volume = filling.shot_volume(mass, factor)
    assert filling.shot_mass(volume, factor) == same(mass)
    assert filling.implied_factor(mass, volume) == same(factor)


@given(mass=masses, reference=densities, running=densities)
def test_a_rating_converted_to_and_fro_is_the_rating(mass, reference, running):
    there = filling.shot_mass(filling.shot_volume(mass, reference), running)
    assert filling.shot_mass(filling.shot_volume(there, running), reference) == same(mass)


@given(share=shares, diameter=diameters, stroke=strokes)
def test_shot_volume_at_a_share_or_a_stroke(share, diameter, stroke):
    swept = geometry.swept_volume(diameter, stroke)
    shot = filling.shot_volume_at_utilisation(share, swept)
    assert filling.utilisation(shot, swept) == same(share)
    used = capacity.capacity_share_by_volume(shot, swept)
    assert capacity.shot_volume_at_capacity_by_volume(used, swept) == same(shot)
    shot = filling.shot_volume_at_stroke(share, diameter)
    assert filling.shot_stroke_in_diameters(shot, diameter) == same(share)
    distance = repeatability.assumed_ring_travel(diameter)
    shot = repeatability.shot_volume_at_stroke_share(distance, share, geometry.screw_area(diameter))
    shot_stroke = filling.shot_stroke(shot, geometry.screw_area(diameter))
    assert repeatability.ring_share(distance, shot_stroke) == same(share)
    assert repeatability.scatter_share(distance, shot_stroke) == same(share)


@given(share=st.floats(0.2, 1.5), diameter=diameters, stroke=strokes)
def test_shot_volume_at_a_capacity_on_both_sides_of_the_cushions_knee(share, diameter, stroke):
    decompression = capacity.default_decompression(diameter)
    shot = capacity.shot_volume_at_capacity_default_cushion(share, stroke, decompression, diameter)
    shot_stroke = filling.shot_stroke(shot, geometry.screw_area(diameter))
    cushion = capacity.default_cushion(shot_stroke)
    used = capacity.capacity_share(shot_stroke, cushion, decompression, 0.0, stroke)
    assert used == same(share)
    given_cushion = capacity.shot_volume_at_capacity(
        share, stroke, cushion, decompression, diameter
    )
    assert given_cushion == pytest.approx(shot, rel=1e-7, abs=1e-15)


def test_the_cushions_knee_is_at_a_shot_stroke_of_60_mm():
    assert capacity.default_cushion(0.059) == 0.003
    assert capacity.default_cushion(0.060) == pytest.approx(0.003)
    assert capacity.default_cushion(0.100) == pytest.approx(0.005)
    area = geometry.screw_area(0.05)
    for total, shot_stroke in ((0.023, 0.020), (0.063, 0.060), (0.105, 0.100)):
        volume = capacity.shot_volume_at_capacity_default_cushion(1.0, total, 0.0, 0.05)
        assert volume / area == pytest.approx(shot_stroke)


def test_no_shot_fits_where_cushion_and_decompression_take_the_stroke():
    assert capacity.shot_volume_at_capacity_default_cushion(1.0, 0.004, 0.0025, 0.05) < 0


@given(rate=st.floats(1e-6, 1e-2), time=times, pressure=st.floats(1e7, 3e8))
def test_shot_volume_at_a_rate_or_a_power(rate, time, pressure):
    shot = filling.shot_volume_at_rate(rate, time)
    assert filling.filling_rate(shot, time) == same(rate)
    power = geometry.injection_power(pressure, rate)
    assert filling.shot_volume_at_power(power, pressure, time) == same(shot)


@given(diameter=diameters, density=densities, limit=st.floats(30.0, 3600.0), cycle=times)
def test_shot_volume_at_a_residence_time(diameter, density, limit, cycle):
    inventory = residence.inventory_from_diameter(diameter, 20.0)
    factor = filling.output_factor(density, 0.05)
    cushion = 0.004 * geometry.screw_area(diameter)
    shot = residence.shot_volume_at_residence(
        limit, inventory, cushion, 1e-5, density, factor, cycle
    )
    mass = filling.shot_mass(shot, factor)
    back = residence.mean_residence_time(inventory, cushion, 1e-5, density, mass, cycle)
    assert back == same(limit)


@given(diameter=diameters, density=densities, limit=st.floats(30.0, 3600.0), cycle=times)
def test_shot_volume_at_a_residence_time_with_the_default_cushion(diameter, density, limit, cycle):
    area = geometry.screw_area(diameter)
    inventory = residence.inventory_from_diameter(diameter, 20.0)
    factor = filling.output_factor(density, 0.05)
    shot = residence.shot_volume_at_residence_default_cushion(
        limit, inventory, area, 0.0, density, factor, cycle
    )
    cushion = area * capacity.default_cushion(filling.shot_stroke(shot, area))
    mass = filling.shot_mass(shot, factor)
    back = residence.mean_residence_time(inventory, cushion, 0.0, density, mass, cycle)
    assert back == same(limit)


def test_no_shot_is_large_enough_where_the_cushion_alone_stays_too_long():
    shot = residence.shot_volume_at_residence_default_cushion(
        2.0, 1e-3, 2e-3, 0.0, 1000.0, 950.0, 60.0
    )
    assert shot == float("inf")


@given(share=shares, rate=st.floats(1e-4, 1.0), window=times, rated=st.floats(0.5, 10.0))
def test_shot_mass_at_a_recovery_or_a_screw_speed(share, rate, window, rated):
    mass = recovery.shot_mass_at_recovery(share, rate, window)
    assert recovery.recovery_share(recovery.recovery_time(mass, rate), window) == same(share)
    mass = recovery.shot_mass_at_screw_speed(1.5 * rated, rated, rate, window)
    assert recovery.needed_screw_speed(rated, mass, rate, window) == same(1.5 * rated)


@given(
    warm=st.floats(10.0, 40.0),
    shape=st.sampled_from(["plate", "cylinder"]),
    target=st.sampled_from(["centre", "mean"]),
)
def test_after_the_cooling_time_the_part_is_at_ejection_temperature(warm, shape, target):
    time = cooling.cooling_time(0.003, 1e-7, 500.0, 300.0, 300.0 + warm, shape, target)
    fourier = 1e-7 * time / (0.003 / 2) ** 2
    ratio = cooling.LEAD[shape, target] * exp(-cooling.DECAY[shape] * fourier)
    assert ratio == pytest.approx(warm / 200.0, rel=1e-9)
