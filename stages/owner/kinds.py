"""What lies on a boat as its owner is told of it: with its article, which other languages bend as they need."""

from hulls.wording import gettext_noop
from stages.engine.vocab import ProductKind

THE = {
    ProductKind.OIL: gettext_noop("the oil"),
    ProductKind.SEALER: gettext_noop("the sealer"),
    ProductKind.VARNISH: gettext_noop("the varnish"),
    ProductKind.CANVAS: gettext_noop("the canvas"),
    ProductKind.PRESERVATIVE: gettext_noop("the preservative"),
    ProductKind.LATEX_FILLER: gettext_noop("the latex filler"),
    ProductKind.OIL_FILLER: gettext_noop("the oil-based filler"),
    ProductKind.PRIMER: gettext_noop("the primer"),
    ProductKind.ENAMEL: gettext_noop("the enamel"),
}
OF = {
    ProductKind.OIL: gettext_noop("of oil"),
    ProductKind.SEALER: gettext_noop("of sealer"),
    ProductKind.VARNISH: gettext_noop("of varnish"),
    ProductKind.CANVAS: gettext_noop("of canvas"),
    ProductKind.PRESERVATIVE: gettext_noop("of preservative"),
    ProductKind.LATEX_FILLER: gettext_noop("of latex filler"),
    ProductKind.OIL_FILLER: gettext_noop("of oil-based filler"),
    ProductKind.PRIMER: gettext_noop("of primer"),
    ProductKind.ENAMEL: gettext_noop("of enamel"),
}
