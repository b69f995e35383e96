"""Yardstick 1 with FiPy: cell-centred volumes on a graded grid, conjugate gradients."""

import os
import warnings

os.environ["FIPY_SOLVERS"] = "scipy"

import fipy
import numpy as np
from fipy.solvers.scipy import JacobiPreconditioner, LinearCGSolver
from scipy.interpolate import CubicSpline
from scipy.sparse import diags

import y1


class Diagonal(JacobiPreconditioner):
    """FiPy's own solves a sparse system for it, which takes ten times as long."""

    def _applyToMatrix(self, matrix):
        return diags(1 / matrix.diagonal()), None


class System:
    """Grid, equation and surface of a spacing, its growth outside the patch, and the same in depth."""

    def __init__(self, rung):
        spacing, growth, first, depth_growth, _ = rung
        self.dx, self.dy = (lines_across(half, spacing, growth) for half in (y1.HALF_LENGTH, y1.HALF_WIDTH))
        self.dz = np.diff(y1.graded(0, y1.DEPTH, first, depth_growth))
        self.grid = fipy.Grid3D(dx=self.dx, dy=self.dy, dz=self.dz)
        self.shape = len(self.dz), len(self.dy), len(self.dx)
        self.volumes = np.asarray(self.grid.cellVolumes)
        self.temperature = fipy.CellVariable(mesh=self.grid, value=y1.AMBIENT)
        self.known = fipy.CellVariable(mesh=self.grid)
        self.step = fipy.Variable(1.0)
        self.surface_parts()
        self.slope = np.zeros_like(self.volumes)
        for part in self.parts:
            np.add.at(self.slope, part.cells, part.area * y1.LOSS_SLOPE / (1 + part.resistance * y1.LOSS_SLOPE))
        held = fipy.CellVariable(mesh=self.grid, value=self.slope / self.volumes)
        stored = fipy.ImplicitSourceTerm(y1.HEAT_CAPACITY / self.step + held)
        self.equation = stored - fipy.DiffusionTerm(y1.CONDUCTIVITY) == self.known
        self.linear = LinearCGSolver(tolerance=1e-8, criterion="RHS", iterations=2000, precon=Diagonal())

    def surface_parts(self):
        """The worked face, two sides."""
        number = np.arange(len(self.volumes)).reshape(self.shape)
        flux = y1.FLUX * shares(self.dx, self.dy)
        top = Part(number[0], np.outer(self.dy, self.dx), self.dz[0], flux)
        side_x = Part(number[:, :, -1], np.outer(self.dz, self.dy), self.dx[-1])
        side_y = Part(number[:, -1, :], np.outer(self.dz, self.dx), self.dy[-1])
        self.parts = [top, side_x, side_y]

    def start(self):
        return np.full(self.volumes.shape, y1.AMBIENT)

    def mass(self, temperature):
        return y1.HEAT_CAPACITY * self.volumes * temperature

    def explicit(self, temperature, flame):
        """Heat from outside and what the matrix took for it."""
        heat = self.slope * temperature
        for part in self.parts:
            np.add.at(heat, part.cells, part.area * part.heat(temperature, flame))
        self.flame = flame
        return heat

    def rate(self, temperature, flame):
        self.temperature.setValue(temperature)
        conducted = np.asarray((y1.CONDUCTIVITY * self.temperature.faceGrad).divergence) * self.volumes
        return conducted + self.explicit(temperature, flame) - self.slope * temperature

    def solver(self, step):
        def solve(right):
            self.step.setValue(step)
            self.known.setValue(right / step / self.volumes)
            self.equation.solve(var=self.temperature, solver=self.linear)
            return np.array(self.temperature.value)

        return solve

    def probe(self, temperature):
        """Splines through the cells along x and z, mirrored at the planes of symmetry."""
        top = self.parts[0]
        skin = top.skin(temperature, self.flame).reshape(self.shape[1:])
        x, z = (np.cumsum(d) - d / 2 for d in (self.dx, self.dz))
        at_y0 = (9 * skin[0] - skin[1]) / 8
        along = CubicSpline([*-x[::-1], *x], [*at_y0[::-1], *at_y0])
        cube = temperature.reshape(self.shape)
        under = [(9 * (9 * p[0, 0] - p[0, 1]) - (9 * p[1, 0] - p[1, 1])) / 64 for p in cube]
        down = CubicSpline([0, *z], [along(0), *under])
        return [along(x) if z == 0 else down(z) for x, _, z in y1.PROBES.values()]


class Part:
    """A face of the block: half a cell of metal, then the loss and the flame."""

    def __init__(self, cells, area, thickness, flux=0.0):
        self.cells, self.area = cells.ravel(), area.ravel()
        self.resistance = thickness / 2 / y1.CONDUCTIVITY
        self.flux = np.broadcast_to(flux, cells.shape).ravel()

    def skin(self, temperature, flame):
        """Temperature of the surface: Newton's method on the balance of half a cell."""
        inside = temperature[self.cells]
        surface = inside + self.resistance * flame * self.flux
        for _ in range(3):
            heat = flame * self.flux - y1.loss(surface)
            slope = y1.FILM + 4 * y1.EMISSIVITY * y1.STEFAN_BOLTZMANN * (surface + y1.ZERO_CELSIUS) ** 3
            surface -= (surface - inside - self.resistance * heat) / (1 + self.resistance * slope)
        return surface

    def heat(self, temperature, flame):
        return flame * self.flux - y1.loss(self.skin(temperature, flame))


def lines_across(half, spacing, growth):
    """Cell sizes: even to a little outside the rim, then growing."""
    even = round(1.2 * y1.RADIUS / spacing)
    outside = y1.graded(even * spacing, half, spacing * growth, growth)
    return np.concatenate([np.full(even, spacing), np.diff(outside)])


def shares(dx, dy, fine=32):
    """Share of each cell of the worked face that lies in the disc, by exact widths of thin strips."""
    left = np.cumsum(dx) - dx
    covered = np.zeros((len(dy), len(dx)))
    for row, (below, height) in enumerate(zip(np.cumsum(dy) - dy, dy)):
        for y in below + height * (np.arange(fine) + 0.5) / fine:
            reach = np.sqrt(max(y1.RADIUS**2 - y**2, 0.0))
            covered[row] += np.clip((reach - left) / dx, 0, 1) / fine
    return covered * (y1.FLAME / y1.FLUX / (covered * np.outer(dy, dx)).sum())


# Spacing in the patch, growth outside it, first cell in depth, growth in depth, order in time and steps.
RUNGS = (
    (0.008, 1.4, 0.002, 1.3, (2, 2)),
    (0.006, 1.3, 0.002, 1.2, (2, 2)),
    (0.006, 1.3, 0.002, 1.1, (2, 3)),
    (0.006, 1.2, 0.001, 1.1, (2, 3)),
    (0.003, 1.2, 0.001, 1.06, (2, 3)),
    (0.003, 1.15, 0.0007, 1.05, (3, 3)),
)

if __name__ == "__main__":
    warnings.simplefilter("ignore")
    System(RUNGS[0]).solver(1.0)(0.0)
    y1.ladder("FiPy", fipy.__version__, "3-D", RUNGS, System, lambda rung: rung[-1])
