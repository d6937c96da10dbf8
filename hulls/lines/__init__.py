"""The lines of a hull, from its own numbers: pure geometry in metres, without framework, clock or files.

Axes of every curve here: ``x`` along the length, forward, zero amidships; ``y`` the half-breadth, outboard; ``z`` up,
zero on the base line, which touches the keel amidships.
"""

from hulls.lines.errors import LinesError
from hulls.lines.principal import Principal, StemShape
from hulls.lines.profile import Profile, Rib, profile, ribs, seam
from hulls.lines.svg import path_data, svg_path

__all__ = [
    "LinesError",
    "Principal",
    "Profile",
    "Rib",
    "StemShape",
    "path_data",
    "profile",
    "ribs",
    "seam",
    "svg_path",
]
