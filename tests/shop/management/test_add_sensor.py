import io

import pytest
from django.core.management import CommandError, call_command

from shop.models import Sensor, Zone
from shop.services.sensors import digest_of

pytestmark = pytest.mark.django_db


def run(*arguments: str) -> str:
    out = io.StringIO()
    call_command("add_sensor", *arguments, stdout=out)
    return out.getvalue()


def test_a_sensor_is_added_and_its_token_printed() -> None:
    zone = Zone.objects.create(name="Loft")
    token = run("Loft 1", "--zone", "Loft", "--every", "10").split()[-1]
    sensor = Sensor.objects.get()
    assert (sensor.name, sensor.zone, sensor.every_min) == ("Loft 1", zone, 10)
    assert sensor.token_digest == digest_of(token)


def test_a_logger_is_added_without_a_token() -> None:
    Zone.objects.create(name="Loft")
    assert run("Logger", "--zone", "Loft", "--no-token") == "Logger reads the air of Loft.\n"
    assert Sensor.objects.get().token_digest is None


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (["New", "--zone", "Shed"], "The zones are: Loft"),
        (["Old", "--zone", "Loft"], "The name is taken"),
        ([" ", "--zone", "Loft"], "The name is taken, or empty"),
        (["New", "--zone", "Loft", "--every", "0"], "every 1 to 1440"),
        (["New", "--zone", "Loft", "--every", "1441"], "every 1 to 1440"),
    ],
)
def test_a_sensor_that_cannot_be_is_refused(arguments: list[str], words: str) -> None:
    Sensor.objects.create(name="Old", zone=Zone.objects.create(name="Loft"))
    with pytest.raises(CommandError, match=words):
        run(*arguments)
    assert Sensor.objects.count() == 1
