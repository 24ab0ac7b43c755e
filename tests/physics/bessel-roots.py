"""Writes bessel-roots.json: roots of J0 and of b*J1(b) = L*J0(b) from SciPy, the library the cylinder is checked by."""
import json
from scipy.optimize import brentq
from scipy.special import j0, j1, jn_zeros
import scipy

maxima = [1e-12] + list(jn_zeros(1, 12))
surface = {
    str(L): [brentq(lambda b: b * j1(b) - L * j0(b), maxima[n], maxima[n + 1], xtol=1e-13) for n in range(12)]
    for L in (0.1, 0.5, 1, 2, 5, 10, 100)
}
json.dump(
    {"source": f"SciPy {scipy.__version__}: special.jn_zeros, optimize.brentq on special.j0, j1",
     "j0": list(jn_zeros(0, 60)), "surface": surface},
    open(__file__.replace(".py", ".json"), "w"), indent=1)
