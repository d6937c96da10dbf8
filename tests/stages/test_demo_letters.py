"""The demo shop writes letters and sends none."""

from datetime import time

from hulls.models import Message, MessageKind, MessageState
from shop.models import Shop
from stages.demo.load import LogIns
from tests.fixtures.post_office import PostOffice
from tests.stages.out_tray import when_due


def test_its_out_tray_holds_letters_of_every_kind_and_none_goes_out(demo_shop: LogIns, mail_on: PostOffice) -> None:
    Shop.objects.update(quiet_from=time(0), quiet_until=time(0))
    letters = list(Message.objects.all())
    assert {letter.kind for letter in letters} >= {MessageKind.LINK, MessageKind.STEP, MessageKind.ACT}
    assert {when_due(letter).state for letter in letters} == {MessageState.KEPT}
    assert all(letter.subject and letter.text and letter.html for letter in letters)
    assert mail_on.came == []
