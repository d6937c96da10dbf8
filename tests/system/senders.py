"""Run as a process of its own: a sensor's sender that posts the same readings as somebody else, at once.

`python -m tests.system.senders prepare` adds the sensors and prints their tokens; `... send AT TOKEN...` waits for the
moment AT (seconds since 1970), posts every batch under every token, and prints what was answered; `... watch AT
SECONDS` keeps the air all the while and prints whether it ends as the table.
"""

import json
import sys
import time
from datetime import UTC, datetime, timedelta

import django

BATCHES, EACH = 20, 25
START = datetime.now(UTC).replace(hour=0, minute=0, second=0, microsecond=0) - timedelta(days=5)


def prepare() -> list[str]:
    """Add two sensors in two zones."""
    from shop.models import Pulse, Zone
    from shop.services.sensors import add_sensor

    Pulse.bump(air=True)
    zones = [Zone.objects.create(name=name, outdoors=name == "Yard") for name in ("Loft", "Yard")]
    return [str(add_sensor(name=z.name, zone=z, every_min=5, sends=True, by=None)[1]) for z in zones]


def batch(number: int) -> list[dict[str, object]]:
    """Readings of one batch; half of them stand in the batch before too."""
    first = number * EACH // 2
    moments = [START + timedelta(minutes=5 * n) for n in range(first, first + EACH)]
    return [{"at": at.isoformat(), "temp_c": 20 + at.minute / 10, "rh_pct": 50, "rain_mm": 0} for at in moments]


def send(at: float, tokens: list[str]) -> dict[str, int]:
    """Post every batch under every token, and add the answers up."""
    from django.db import connection
    from django.test import Client

    client, sums = Client(headers={"Host": "localhost"}), {"recorded": 0, "repeated": 0, "failed": 0}
    connection.ensure_connection()
    time.sleep(max(0.0, at - time.time()))
    for number in range(BATCHES):
        for token in tokens:
            headers = {"Authorization": f"Bearer {token}"}
            answer = client.post("/api/readings", batch(number), content_type="application/json", headers=headers)
            told = answer.json() if answer.status_code == 200 else {"failed": 1}
            for name in sums:
                sums[name] += told.get(name, 0)
    return sums


def watch(at: float, seconds: float) -> bool:
    """Keep the air while others send, then tell whether it is what stands in the table."""
    import numpy as np

    from shop.models import Pulse
    from stages.queries.airs import KeptAir, fresh_airs

    kept = KeptAir()
    time.sleep(max(0.0, at - time.time()))
    while time.time() < at + seconds:
        kept.under(Pulse.now())
    held, fresh = kept.under(Pulse.now()).logs, fresh_airs().logs
    return bool(fresh) and all(np.array_equal(held[zone].air_c, log.air_c) for zone, log in fresh.items())


if __name__ == "__main__":
    django.setup()
    match sys.argv[1:]:
        case ["prepare"]:
            print(json.dumps(prepare()))
        case ["send", at, *tokens]:
            print(json.dumps(send(float(at), tokens)))
        case ["watch", at, seconds]:
            print(json.dumps(watch(float(at), float(seconds))))
