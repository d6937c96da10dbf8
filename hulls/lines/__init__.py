"""The lines of a hull, from its own numbers: pure geometry in metres, without framework, clock or files.

Axes of every curve here: ``x`` along the length, forward, zero amidships; ``y`` the half-breadth, outboard; ``z`` up,
zero on the base line, which touches the keel amidships.
"""

from hulls.lines.errors import LinesError
from hulls.lines.measured import measure, sizes_many
from hulls.lines.offset_profile import principal_of_offsets
from hulls.lines.offset_sizes import measure_offsets
from hulls.lines.offsets import Offsets, Station
from hulls.lines.principal import Principal, StemShape
from hulls.lines.profile import Profile, Rib, profile, ribs, seam
from hulls.lines.sizes import ManySizes, Sizes
from hulls.lines.svg import path_data, svg_path
from hulls.lines.taped import Taped, measure_taped
from hulls.lines.types import DEFAULT, HULL_TYPES, Form, HullType, filled_in

__all__ = [
    "DEFAULT",
    "HULL_TYPES",
    "Form",
    "HullType",
    "LinesError",
    "ManySizes",
    "Offsets",
    "Principal",
    "Profile",
    "Rib",
    "Sizes",
    "Station",
    "StemShape",
    "Taped",
    "filled_in",
    "measure",
    "measure_offsets",
    "measure_taped",
    "path_data",
    "principal_of_offsets",
    "profile",
    "ribs",
    "seam",
    "sizes_many",
    "svg_path",
]
