"""Yardstick 1 with DOLFINx: bricks of second order, and of first; MUMPS through PETSc."""

import logging

import basix
import dolfinx
import numpy as np
import ufl
from dolfinx import fem, mesh
from mpi4py import MPI
from petsc4py import PETSc

import y1


class System:
    """Matrices of a mesh."""

    def __init__(self, nodes, cells, order):
        domain = brick(nodes, cells, order)
        space = fem.FunctionSpace(domain, ("Lagrange", order))
        trial, test = ufl.TrialFunction(space), ufl.TestFunction(space)
        facets = marked(domain)
        exact_enough = {"quadrature_degree": 2 * order}
        inside = ufl.Measure("dx", domain, metadata=exact_enough)
        around = ufl.Measure("ds", domain, subdomain_data=facets, metadata=exact_enough)
        self.masses = assemble(y1.HEAT_CAPACITY * trial * test * inside)
        self.losing = assemble(trial * test * around((1, 2)))
        conduction = y1.CONDUCTIVITY * ufl.inner(ufl.grad(trial), ufl.grad(test)) * inside
        self.held = assemble(conduction + y1.LOSS_SLOPE * trial * test * around((1, 2)))
        flame = fem.petsc.assemble_vector(fem.form(y1.FLUX * test * around(2))).array.copy()
        self.flame = flame * y1.FLAME / flame.sum()
        self.surface = fem.locate_dofs_topological(space, 2, facets.indices)
        self.probes = nodes_at(space.tabulate_dof_coordinates(), y1.PROBES.values())
        self.into, self.out = (self.masses.createVecLeft() for _ in range(2))
        self.matrix, self.linear = self.masses.duplicate(), direct()
        self.matrix.setOption(PETSc.Mat.Option.SPD, True)

    def start(self):
        return np.full(self.masses.size[0], y1.AMBIENT)

    def probe(self, temperature):
        return temperature[self.probes]

    def times(self, matrix, values):
        self.into.array[:] = values
        matrix.mult(self.into, self.out)
        return self.out.array.copy()

    def mass(self, temperature):
        return self.times(self.masses, temperature)

    def explicit(self, temperature, flame):
        excess = np.zeros_like(temperature)
        skin = temperature[self.surface]
        excess[self.surface] = y1.LOSS_SLOPE * skin - y1.loss(skin)
        return flame * self.flame + self.times(self.losing, excess)

    def rate(self, temperature, flame):
        return self.explicit(temperature, flame) - self.times(self.held, temperature)

    def solver(self, step):
        """Direct: the matrices are small, and one factor serves a whole group of steps."""
        self.masses.copy(self.matrix, structure=PETSc.Mat.Structure.SAME_NONZERO_PATTERN)
        self.matrix.axpy(step, self.held, structure=PETSc.Mat.Structure.SAME_NONZERO_PATTERN)
        self.linear.setOperators(self.matrix)
        self.linear.setUp()
        return self.solve

    def solve(self, right):
        self.into.array[:] = right
        self.linear.solve(self.into, self.out)
        return self.out.array.copy()


def direct():
    """MUMPS for symmetric positive definite matrices."""
    linear = PETSc.KSP().create(MPI.COMM_SELF)
    linear.setType("preonly")
    linear.getPC().setType("cholesky")
    linear.getPC().setFactorSolverType("mumps")
    return linear


def brick(nodes, cells, order):
    """DOLFINx's mesh from nodes and cells in plain order."""
    line = basix.create_element(basix.ElementFamily.P, basix.CellType.hexahedron, order,
                                basix.LagrangeVariant.equispaced)
    local = np.rint(order * line.points).astype(int) @ (order + 1) ** np.arange(3)
    shape = ufl.Cell("hexahedron", geometric_dimension=3)
    return mesh.create_mesh(MPI.COMM_SELF, cells[:, local], nodes,
                            ufl.Mesh(ufl.VectorElement("Lagrange", shape, order)))


def marked(domain):
    """Losing facets, 1, and the heated ones among them, 2."""
    def losing(x):
        return np.isclose(x[2], 0) | np.isclose(x[0], y1.HALF_LENGTH) | np.isclose(x[1], y1.HALF_WIDTH)

    def heated(x):
        return np.isclose(x[2], 0) & (np.hypot(x[0], x[1]) < y1.RADIUS + 1e-6)

    all_losing = mesh.locate_entities_boundary(domain, 2, losing)
    values = np.where(np.isin(all_losing, mesh.locate_entities_boundary(domain, 2, heated)), 2, 1)
    return mesh.meshtags(domain, 2, all_losing, values.astype(np.int32))


def assemble(form):
    matrix = fem.petsc.assemble_matrix(fem.form(form))
    matrix.assemble()
    return matrix


def nodes_at(nodes, places):
    """The nodes that stand at the places; the meshes are made so that there are some."""
    distance = [np.linalg.norm(nodes - np.asarray(place), axis=1) for place in places]
    assert all(near.min() < 1e-7 for near in distance), "no node at a probe"
    return [int(near.argmin()) for near in distance]


def plain(rung):
    """First-order bricks of about one size in and under the patch."""
    sectors, size, growth, _ = rung
    ring = np.concatenate([even(0.02, 0.04, 2 * size), even(0.04, 0.05, 1.5 * size)[1:], even(0.05, 0.06, size)[1:]])
    outside = y1.graded(0, 1, size / (y1.HALF_LENGTH - y1.RADIUS), growth)
    head = np.concatenate([even(0, 0.006, 0.7 * size), even(0.006, 0.025, 1.2 * size)[1:]])
    depth = np.concatenate([head, y1.graded(head[-1], y1.DEPTH, 1.5 * size, growth)[1:]])
    return System(*y1.butterfly(sectors, ring[0], ring, outside, depth, 1), 1)


def even(start, end, size):
    return np.linspace(start, end, max(1, round((end - start) / size)) + 1)


# Sectors of an eighth, size of a cell, growth outside, steps.
PLAIN_RUNGS = (4, 0.004, 1.3, 3), (8, 0.005, 1.3, 2), (10, 0.003, 1.3, 3), (14, 0.002, 1.2, 3)

if __name__ == "__main__":
    logging.disable(logging.INFO)
    # The forms are compiled once on a machine and kept.
    System(*y1.RUNGS[0].block(), 2), plain(PLAIN_RUNGS[0])
    y1.ladder("DOLFINx", dolfinx.__version__, "3-D", y1.RUNGS, lambda r: System(*r.block(), 2), y1.Rung.time)
    y1.ladder("DOLFINx first order", dolfinx.__version__, "3-D", PLAIN_RUNGS, plain, lambda rung: (3, rung[-1]))
