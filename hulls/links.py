"""Which progress link a token opens: one that was handed out, or one that came in a letter."""

from django.db.models import Q, QuerySet

from hulls.mail_tokens import link_of_mail
from hulls.models import ProgressLink
from hulls.tokens import token_hash


def open_links(token: str) -> QuerySet[ProgressLink]:
    """The open link of a token, or none; a wrong one costs the same look-up as a withdrawn one."""
    mailed = link_of_mail(token)
    wanted = Q(token_hash=token_hash(token)) if mailed is None else Q(pk=mailed)
    return ProgressLink.objects.filter(wanted, withdrawn_at__isnull=True)
