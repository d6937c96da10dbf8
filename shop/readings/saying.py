"""What the program says of flagged readings."""

from django.utils.translation import gettext_lazy as _

from shop.readings.watch import Wrong

FLAG_WORDS = {
    Wrong.STUCK: _("The reading has not changed for hours, while the air has."),
    Wrong.WILD: _("Air does not change so much in so short a time."),
}
