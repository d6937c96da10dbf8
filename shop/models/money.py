"""How the shop charges: its currency, rates, taxes, and what it asks of an estimate."""

from decimal import Decimal
from typing import Any

from django.core.exceptions import ValidationError
from django.core.validators import MaxValueValidator, MinValueValidator, RegexValidator
from django.db import models
from django.utils.translation import gettext_lazy as _

NOT_BELOW_0 = MinValueValidator(Decimal(0))


def percent_field(name: Any, most: int, **options: Any) -> "models.DecimalField[Any, Any]":
    """Build a field for a percentage with up to four decimals."""
    validators = [NOT_BELOW_0, MaxValueValidator(Decimal(most))]
    options.setdefault("default", Decimal(0))
    return models.DecimalField(name, max_digits=8, decimal_places=4, validators=validators, **options)


class HalfCoins(models.TextChoices):
    """What becomes of exactly half of the smallest coin."""

    HALF_EVEN = "half_even", _("to the even one, as ASTM E29 has it")
    HALF_UP = "half_up", _("up")


class BillWay(models.TextChoices):
    """What an invoice goes by."""

    AGREED = "agreed", _("as agreed: the estimate and its change orders")
    USED = "used", _("by what was worked and used")


class ChargingFields(models.Model):
    """What the shop's row holds of money; a shop charges in one currency."""

    currency = models.CharField(
        _("currency"),
        max_length=3,
        default="EUR",
        validators=[RegexValidator(r"^[A-Z]{3}$", _("Three capital letters, like EUR."))],
        help_text=_("Its three letters by ISO 4217."),
    )
    rounding = models.CharField(_("half a coin goes"), max_length=10, choices=HalfCoins, default=HalfCoins.HALF_EVEN)
    hourly_rate = models.DecimalField(
        _("price of an hour's work"),
        max_digits=12,
        decimal_places=4,
        default=Decimal(0),
        validators=[NOT_BELOW_0],
        help_text=_("Before tax. Without it no estimate is made."),
    )
    markup_pct = percent_field(_("mark-up on materials, %"), 500)
    deposit_pct = percent_field(_("deposit, % of the total"), 100)
    validity_days = models.PositiveSmallIntegerField(
        _("days that an estimate holds"), default=30, validators=[MinValueValidator(1), MaxValueValidator(730)]
    )
    estimate_prefix = models.CharField(_("before the number of an estimate"), max_length=8, default="E-", blank=True)
    change_prefix = models.CharField(_("before the number of a change order"), max_length=8, default="C-", blank=True)
    estimate_terms = models.TextField(
        _("terms, below every estimate"),
        max_length=2000,
        blank=True,
        help_text=_("Such as how to pay; your own law may ask for more."),
    )
    estimates_first = models.BooleanField(
        _("work waits for the approved estimate"),
        default=True,
        help_text=_("Off, only boats whose owner was sent an estimate wait for it."),
    )

    bill_by = models.CharField(_("invoices go"), max_length=8, choices=BillWay, default=BillWay.AGREED)
    payment_days = models.PositiveSmallIntegerField(
        _("days in which an invoice is paid"), default=14, validators=[MaxValueValidator(365)]
    )
    invoice_prefix = models.CharField(_("before the number of an invoice"), max_length=8, default="I-", blank=True)
    credit_prefix = models.CharField(_("before the number of a credit note"), max_length=8, default="N-", blank=True)
    how_to_pay = models.TextField(
        _("how to pay"),
        max_length=600,
        blank=True,
        help_text=_("Such as the account, and what to write beside it. It stands on invoices and on the owner's page."),
    )
    hour_cost = models.DecimalField(
        _("what an hour costs the shop"),
        max_digits=12,
        decimal_places=4,
        default=Decimal(0),
        validators=[NOT_BELOW_0],
        help_text=_("Wages and overheads. For the shop's margin alone; nobody else sees it."),
    )

    class Meta:
        abstract = True

    def clean(self) -> None:
        """Refuse two kinds of papers that would be called the same."""
        super().clean()
        names = ("estimate_prefix", "change_prefix", "invoice_prefix", "credit_prefix")
        before: set[str] = set()
        for name in names:
            if getattr(self, name) in before:
                raise ValidationError({name: _("Each kind of paper needs a prefix of its own.")})
            before.add(getattr(self, name))


class Tax(models.Model):
    """A tax on what the shop sells. It is reckoned once on the sum of the lines that it is on."""

    shop = models.ForeignKey("shop.Shop", models.CASCADE, related_name="taxes", default=1, editable=False)
    name = models.CharField(_("name"), max_length=40, unique=True)
    rate_pct = percent_field(_("rate, %"), 100)
    on_hours = models.BooleanField(_("on work"), default=True)
    on_materials = models.BooleanField(_("on materials"), default=True)
    on_subcontracts = models.BooleanField(_("on sub-contracts"), default=True)

    class Meta:
        verbose_name = _("tax")
        verbose_name_plural = _("taxes")
        ordering = ["pk"]

    def __str__(self) -> str:
        return self.name
