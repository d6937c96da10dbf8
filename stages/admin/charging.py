"""The shop's money, which stays in one currency once any of it is on paper."""

from django import forms
from django.contrib.admin import register
from django.core.exceptions import ValidationError
from django.utils.translation import gettext as _

from hulls.models import Estimate, Invoice, Payment
from shop.admin.money import ChargingAdmin
from shop.admin.site import site
from shop.models import Charging


class ChargingForm(forms.ModelForm):  # type: ignore[type-arg]  # it takes no parameter when it runs
    """How the shop charges; sums of two currencies are never added up."""

    def clean_currency(self) -> str:
        """Refuse another currency once a paper or a payment holds one."""
        code: str = self.cleaned_data["currency"]
        before = self.instance.currency
        if code != before and _is_on_paper():
            words = _("Estimates, invoices or payments are on record in %(code)s, so it stays.")
            raise ValidationError(words % {"code": before})
        return code


def _is_on_paper() -> bool:
    sent = Estimate.objects.filter(sent_at__isnull=False)
    return sent.exists() or Payment.objects.exists() or Invoice.objects.exists()


site.unregister(Charging)


@register(Charging, site=site)
class ChargingOfJobsAdmin(ChargingAdmin):
    """The same page, which knows the papers."""

    form = ChargingForm
