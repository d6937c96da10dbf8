"""Run as a process of its own: two senders of sensors post the same readings at once, while a third one reads on.

`python -m tests.system.senders COUNT` adds the sensors; both post COUNT batches under every token, one of them in the
other order, and a watcher keeps the air until they are done and tells whether it is what stands in the table.
"""

from datetime import UTC, datetime, timedelta

from tests.system.script import FORK, Together, play

EACH = 25
START = datetime.now(UTC).replace(hour=0, minute=0, second=0, microsecond=0) - timedelta(days=5)
SENDERS = ("first", "second")
TOKENS: list[str] = []  # of the sensors, for those who are forked
SENT = FORK.Semaphore(0)  # given once by each sender


def prepare(count: int) -> None:
    """Add two sensors in two zones."""
    from shop.models import Pulse, Zone
    from shop.services.sensors import add_sensor

    Pulse.bump(air=True)
    zones = [Zone.objects.create(name=name, outdoors=name == "Yard") for name in ("Loft", "Yard")]
    TOKENS.extend(str(add_sensor(name=z.name, zone=z, every_min=5, sends=True, by=None)[1]) for z in zones)


def batch(number: int) -> list[dict[str, object]]:
    """Readings of one batch; half of them stand in the batch before too."""
    first = number * EACH // 2
    moments = [START + timedelta(minutes=5 * n) for n in range(first, first + EACH)]
    return [{"at": at.isoformat(), "temp_c": 20 + at.minute / 10, "rh_pct": 50, "rain_mm": 0} for at in moments]


def be(name: str, count: int, together: Together) -> dict[str, int] | bool:
    """Send, or watch."""
    if name in SENDERS:
        return send(TOKENS if name == SENDERS[0] else TOKENS[::-1], count, together)
    return watch(together)


def send(tokens: list[str], count: int, together: Together) -> dict[str, int]:
    """Post every batch under every token, and add the answers up."""
    from django.db import connection
    from django.test import Client

    client, sums = Client(headers={"Host": "localhost"}), {"recorded": 0, "repeated": 0, "failed": 0}
    connection.ensure_connection()
    together.wait()
    for number in range(count):
        for token in tokens:
            headers = {"Authorization": f"Bearer {token}"}
            answer = client.post("/api/readings", batch(number), content_type="application/json", headers=headers)
            told = answer.json() if answer.status_code == 200 else {"failed": 1}
            for name in sums:
                sums[name] += told.get(name, 0)
    SENT.release()
    return sums


def watch(together: Together) -> bool:
    """Keep the air while others send, then tell whether it is what stands in the table."""
    import numpy as np

    from shop.models import Pulse
    from stages.queries.airs import KeptAir, fresh_airs

    kept = KeptAir()
    together.wait()
    for _ in SENDERS:
        while not SENT.acquire(block=False):
            kept.under(Pulse.now())
    held, fresh = kept.under(Pulse.now()).logs, fresh_airs().logs
    return bool(fresh) and all(np.array_equal(held[zone].air_c, log.air_c) for zone, log in fresh.items())


def left() -> tuple[int, int, int, int]:
    """How many readings, falls of rain, and moments of sensors are on record, and how many turns were taken."""
    from shop.models import Pulse, RainFall, Reading

    moments = Reading.objects.values("sensor", "at").distinct().count()
    return Reading.objects.count(), RainFall.objects.count(), moments, Pulse.now().air_turn


if __name__ == "__main__":
    play(prepare=prepare, act=be, left=left, who=(*SENDERS, "watcher"))
