"""Yardstick 1 for the peers: its numbers, its reference, a mesh that fits the disc, the time steps and the error.

The body is a quarter, the patch centre at the origin, z down into the metal, metres, seconds, Celsius.
"""

import csv
import sys
from pathlib import Path
from time import perf_counter
from typing import NamedTuple

import numpy as np

HERE = Path(__file__).parent
HALF_LENGTH, HALF_WIDTH, DEPTH, RADIUS = 0.5, 0.4, 0.4, 0.06
CONDUCTIVITY, HEAT_CAPACITY = 46.0, 7200.0 * 500.0
FLUX, FLAME_OFF, AMBIENT = 2.5e5, 300.0, 20.0
FILM, EMISSIVITY, STEFAN_BOLTZMANN, ZERO_CELSIUS = 8.0, 0.8, 5.670374419e-8, 273.15
# Into the quarter disc, W: meshes whose rim is not quite round scale their flux to it.
FLAME = FLUX * np.pi * RADIUS**2 / 4
PROBES = {
    "r0": (0.0, 0.0, 0.0),
    "r20": (0.020, 0.0, 0.0),
    "r40": (0.040, 0.0, 0.0),
    "r60": (0.060, 0.0, 0.0),
    "d6": (0.0, 0.0, 0.006),
    "d25": (0.0, 0.0, 0.025),
}
# A fixed coefficient for the matrix; what the true loss differs from it is iterated on the right-hand side.
LOSS_SLOPE = FILM + 4 * EMISSIVITY * STEFAN_BOLTZMANN * (ZERO_CELSIUS + 100.0) ** 3


def loss(temperature):
    """Heat lost by a surface, W/m2."""
    radiated = (temperature + ZERO_CELSIUS) ** 4 - (AMBIENT + ZERO_CELSIUS) ** 4
    return FILM * (temperature - AMBIENT) + EMISSIVITY * STEFAN_BOLTZMANN * radiated


# ---- time: groups of equal steps that grow after each switch; one matrix to a group -------------------------------

GROUP_ENDS = (0.6, 4, 20, 60, 150, 300, 300.4, 302, 310, 330, 360, 420, 600, 1200, 3600, 14400)


def groups(steps):
    """(start, end, number of steps) of each group; the last ones, where nothing is left to happen, get half."""
    starts = (0.0, *GROUP_ENDS[:-1])
    return [(a, b, steps if b < 1200 else max(2, steps // 2)) for a, b in zip(starts, GROUP_ENDS)]


# Alexander's L-stable diagonally implicit schemes: all stages share one matrix, the last stage is the answer.
_G2 = 1 - 0.5**0.5
_G3 = 0.4358665215084590
_B1 = -1.5 * _G3**2 + 4 * _G3 - 0.25
SCHEMES = {
    2: (_G2, [[_G2], [1 - _G2, _G2]]),
    3: (_G3, [[_G3], [(1 - _G3) / 2, _G3], [_B1, 1.5 * _G3**2 - 5 * _G3 + 1.25, _G3]]),
}


def march(system, order, steps):
    """Marches `system`; a mapping from (probe, time) to Celsius, and the number of steps.

    `system` gives: `start()` temperatures; `probe(T)`; `mass(T)`; `rate(T, flame)`, the net heat into each unknown
    (conduction, flame, losses) in W; `linear_loss(T)`, the part of the loss that the matrix does not know; and
    `solver(dt_gamma)`, which returns a function that solves (mass + dt_gamma (stiffness + LOSS_SLOPE surface)) T = b.
    """
    gamma, tableau = SCHEMES[order]
    temperature = system.start()
    read, count = {}, 0
    for start, end, number in groups(steps):
        dt, flame = (end - start) / number, start < FLAME_OFF
        solve = system.solver(gamma * dt)
        slope = None
        for _ in range(number):
            before, temperature = temperature, step(system, solve, tableau, temperature, slope, dt, flame)
            slope = (temperature - before) / dt
        count += number
        for name, value in zip(PROBES, system.probe(temperature)):
            read[name, float(end)] = float(value)
    return read, count


def step(system, solve, tableau, before, slope, dt, flame):
    """One step: each stage is solved with the loss at a guess, and again where the guess was far off."""
    rates, stored, stage = [], system.mass(before), before
    for row in tableau:
        known = stored + dt * sum(a * rate for a, rate in zip(row, rates))
        guess = stage if slope is None else before + dt * sum(row) * slope
        for _ in range(5):
            stage = solve(known + dt * row[-1] * system.explicit(guess, flame))
            if np.max(np.abs(stage - guess)) < CLOSE_ENOUGH:
                break
            guess = stage
        rates.append(system.rate(stage, flame) if len(rates) + 1 < len(tableau) else None)
    return stage


# The guess enters through the curvature of the loss alone, a few thousandths of its error.
CLOSE_ENOUGH = 2.0


# ---- space: a "butterfly" of mapped blocks whose cells follow the rim ---------------------------------------------


def graded(start, end, first, growth):
    """Lines from `start` to `end`, the first cell about `first` and each the next `growth` times as large."""
    span = abs(end - start)
    number = max(1, round(np.log(1 + span * (growth - 1) / first) / np.log(growth)))
    lines = (growth ** np.arange(number + 1) - 1) / (growth**number - 1)
    return start + (end - start) * lines


def butterfly(sectors, core, ring, outside, depth, order):
    """Points (n, 3) and cells (m, (order + 1)^3) of the quarter block, nodes of a cell with x fastest, then y, then z.

    `sectors`: cells on each of the two sides of an eighth; `core`: half width of the inner square; `ring`: radii from
    `core` to the rim; `outside`: shares of the way from the rim to the sides of the block; `depth`: lines in depth.
    """
    across = np.linspace(0, 1, order * sectors + 1)
    ring, outside, depth = (refine(np.asarray(lines), order) for lines in (ring, outside, depth))
    u, v = np.meshgrid(across, across, indexing="ij")
    corner = 0.8 * core
    square = np.stack([core * u + (corner - core) * u * v, core * v + (corner - core) * u * v], axis=-1)
    arms = [arm(across, core, corner, ring, outside, swap) for swap in (False, True)]
    plane = [cells for block in (square, *arms) for cells in block_cells(block, order)]
    flat = np.array(plane).reshape(-1, 2)
    _, first, index = np.unique(flat.round(9), axis=0, return_index=True, return_inverse=True)
    flat, plane = flat[first], index.reshape(len(plane), -1)
    points = np.array([(x, y, z) for z in depth for x, y in flat])
    layers = range(0, len(depth) - 1, order)
    cells = [np.hstack([plane + len(flat) * (k + i) for i in range(order + 1)]) for k in layers]
    return points, np.vstack(cells)


def refine(lines, order):
    """Puts the middle nodes between the lines of second-order cells."""
    return lines if order == 1 else np.interp(np.arange(2 * len(lines) - 1) / 2, np.arange(len(lines)), lines)


def arm(across, core, corner, ring, outside, swap):
    """Nodes (along the arm, across it, 2) from the inner square over the rim to a side of the block."""
    far = np.stack([np.full_like(across, HALF_LENGTH), HALF_WIDTH * across], axis=-1)
    if swap:
        far = np.stack([HALF_WIDTH * np.ones_like(across), HALF_LENGTH * across], axis=-1)
    rim = RADIUS * np.stack([np.cos(np.pi / 4 * across), np.sin(np.pi / 4 * across)], axis=-1)
    near = np.stack([core + (corner - core) * across, corner * across], axis=-1)
    share = (ring - ring[0]) / (ring[-1] - ring[0])
    inner = near + share[:, None, None] * (rim - near)
    outer = rim + outside[1:, None, None] * (far - rim)
    nodes = np.concatenate([inner, outer])
    return np.swapaxes(nodes[..., ::-1], 0, 1) if swap else nodes


def block_cells(block, order):
    """The nodes of each cell of a mapped block, first direction fastest."""
    return [
        block[i : i + order + 1, j : j + order + 1].swapaxes(0, 1).reshape(-1, 2)
        for i in range(0, block.shape[0] - 1, order)
        for j in range(0, block.shape[1] - 1, order)
    ]


class Rung(NamedTuple):
    """A mesh and its steps; what the meshes for all the second-order elements differ by."""

    sectors: int  # cells on each of the two sides of an eighth
    ring: tuple  # radii up to the rim
    first: float  # first cell outside the rim, m
    growth: float
    head: tuple  # first lines in depth
    depth_growth: float
    order: int
    steps: int

    def outside(self, far):
        """Radii, or shares of the way, from the rim outwards."""
        return graded(RADIUS, far, self.first, self.growth)

    def depth(self):
        """Lines in depth."""
        *_, last, end = self.head
        rest = graded(end, DEPTH, (end - last) * self.depth_growth, self.depth_growth)
        return np.concatenate([self.head, rest[1:]])

    def block(self, order=2):
        """Nodes and cells of the quarter block."""
        shares = (self.outside(HALF_LENGTH) - RADIUS) / (HALF_LENGTH - RADIUS)
        return butterfly(self.sectors, self.ring[0], self.ring, shares, self.depth(), order)

    def time(self):
        return self.order, self.steps


WIDE, MEDIUM = (0.02, 0.04, 0.06), (0.02, 0.04, 0.055, 0.06)
FINE, FINER = (0.02, 0.04, 0.052, 0.0575, 0.06), (0.02, 0.04, 0.052, 0.0575, 0.0592, 0.06)
EVEN = (0.02, 0.03, 0.04, 0.05, 0.056, 0.059, 0.06)
DEEP = (0, 0.006, 0.025), (0, 0.003, 0.009, 0.025), (0, 0.003, 0.006, 0.0125, 0.025)
# The best of some 400 meshes and step patterns, tried with the reference at hand.
RUNGS = (
    Rung(1, WIDE, 0.005, 2.0, DEEP[0], 2.5, 3, 2),
    Rung(1, MEDIUM, 0.005, 2.0, DEEP[0], 2.5, 3, 2),
    Rung(1, MEDIUM, 0.003, 2.0, DEEP[1], 2.0, 2, 2),
    Rung(1, EVEN, 0.001, 1.8, DEEP[0], 2.5, 3, 2),
    Rung(1, FINE, 0.003, 1.6, DEEP[2], 1.6, 3, 2),
    Rung(2, FINE, 0.003, 2.0, DEEP[0], 1.4, 3, 3),
    Rung(2, FINER, 0.0015, 1.6, DEEP[1], 1.6, 3, 6),
    Rung(2, (0.02, 0.04, 0.05, 0.056, 0.059, 0.06), 0.001, 1.8, DEEP[2], 1.4, 3, 8),
    Rung(3, (*EVEN[:-1], 0.0597, 0.06), 0.0005, 1.6, (0, 0.0015, 0.0045, 0.0075, 0.0145, 0.025), 1.5, 3, 8),
)


# ---- answers ------------------------------------------------------------------------------------------------------


def reference():
    """(probe, time) -> Celsius."""
    path = HERE.parent / "yardsticks" / "y1.reference.csv"
    lines = [line for line in path.read_text().splitlines() if not line.startswith("#")]
    rows = [row for row in csv.DictReader(lines) if row["unit"] == "C" and row["probe"] in PROBES]
    return {(row["probe"], float(row["at_s"])): float(row["value"]) for row in rows}


def errors(read):
    """Largest error over all probes and times, and the same without the rim, K."""
    table = reference()
    off = {key: abs(read[key] - value) for key, value in table.items()}
    return max(off.values()), max(value for (probe, _), value in off.items() if probe != "r60")


def ladder(library, version, model, rungs, build, order_and_steps):
    """Climbs the rungs; appends a line each to the table named on the command line. Best of five where it is quick."""
    with open(sys.argv[1], "a", newline="") as file:
        table = csv.writer(file, lineterminator="\n")
        for rung in rungs:
            runs = [timed(build, rung, order_and_steps(rung))]
            while len(runs) < 5 and runs[0][0] < 10.0:
                runs.append(timed(build, rung, order_and_steps(rung)))
            seconds, unknowns, steps, (worst, inside) = min(runs)
            table.writerow((library, version, model, unknowns, steps, f"{seconds:.4f}", f"{worst:.4f}", f"{inside:.4f}"))
            file.flush()
            print(f"{library}, {model}: {unknowns} unknowns, {steps} steps, {seconds:.2f} s, {worst:.3f} K, "
                  f"{inside:.3f} K without the rim", flush=True)


def timed(build, rung, order_and_steps):
    """Mesh, matrices and march; seconds, unknowns, steps, errors."""
    start = perf_counter()
    system = build(rung)
    read, steps = march(system, *order_and_steps)
    return perf_counter() - start, len(system.start()), steps, errors(read)
