"""How fast readings come in, by POST and by file, and how soon the clock sees them."""

import csv
import io
import json
from collections.abc import Callable, Iterable
from datetime import UTC, datetime, timedelta
from functools import partial
from statistics import median
from time import perf_counter

from django.db import connection, transaction
from django.test import Client, override_settings
from django.utils import timezone

from shop.models import Pulse, Reading, Sensor, Zone
from shop.readings.file import HowToRead, open_readings
from shop.readings.importing import AT_ONCE, take_in_file
from shop.readings.ingest import take_in
from shop.readings.sample import Sample
from shop.services.sensors import add_sensor
from stages.bench.figures import Figure
from stages.queries.airs import KeptAir, fresh_airs

SENSORS, EACH, SINGLE = 20, 500, 200
A_YEAR = 105_120
ZONES = 5
ROUNDS = 7
AIM_A_SECOND = 1000
Row = tuple[str, float, float]


def rows_until(end: datetime, count: int) -> list[Row]:
    """Readings five minutes apart that move a little, the last at a moment."""
    moments = (end - timedelta(minutes=5 * (count - 1 - n)) for n in range(count))
    return [(f"{at:%Y-%m-%dT%H:%M:%SZ}", 15 + n % 50 / 10, 50 + n % 30 / 10) for n, at in enumerate(moments)]


@override_settings(ALLOWED_HOSTS=["testserver"])
def measure() -> list[Figure]:
    """Post readings by the handful and one by one, take in a year's file, and see one more beside five such years."""
    Pulse.bump(air=True)
    zone = Zone.objects.create(name="Loft of sensors")
    with BareTable() as bare:
        return [*_posts(zone, bare), _a_file(zone, bare), _the_clock(zone)]


class BareTable:
    """The named reference: a table of three columns and nothing else, one commit a handful."""

    def __enter__(self) -> "BareTable":
        self._run("CREATE TABLE bare (at varchar(30), temp_c double precision, rh_pct double precision)")
        return self

    def __exit__(self, *failure: object) -> None:
        self._run("DROP TABLE bare")

    def _run(self, sql: str) -> None:
        with connection.cursor() as cursor:
            cursor.execute(sql)

    def insert(self, handful: Iterable[Row]) -> None:
        """Insert a handful of rows."""
        with transaction.atomic(), connection.cursor() as cursor:
            cursor.executemany("INSERT INTO bare VALUES (%s, %s, %s)", list(handful))


def _posts(zone: Zone, bare: BareTable) -> list[Figure]:
    tokens = [_token(zone, f"Poster {n}") for n in range(SENSORS + SINGLE // 50)]
    rows = rows_until(timezone.now(), EACH)
    many = json.dumps([dict(zip(("at", "temp_c", "rh_pct"), row, strict=True)) for row in rows])
    client = Client()

    def post(token: str, body: str) -> None:
        headers = {"Authorization": f"Bearer {token}"}
        answer = client.post("/api/readings", body, content_type="application/json", headers=headers)
        if answer.status_code != 200 or answer.json()["refused"]:
            raise RuntimeError(f"A post was answered {answer.status_code}: {answer.content[:200]!r}")

    def post_all() -> None:
        for token in tokens[:SENSORS]:
            post(token, many)

    def post_singly() -> None:
        for n, row in enumerate(rows[:SINGLE]):
            post(tokens[SENSORS + n // 50], json.dumps(dict(zip(("at", "temp_c", "rh_pct"), row, strict=True))))

    def insert_all() -> None:
        for _ in range(SENSORS):
            bare.insert((row["at"], row["temp_c"], row["rh_pct"]) for row in json.loads(many))

    def insert_singly() -> None:
        for row in rows[:SINGLE]:
            bare.insert([row])

    count, peer = SENSORS * EACH, "JSON and bare INSERTs"
    peer_s = _seconds(insert_all)
    return [
        Figure(
            name=f"{count:,} readings by POST, {EACH} at once",
            ours_s=_seconds(post_all),
            peer=peer,
            peer_s=peer_s,
            aim_s=count / AIM_A_SECOND,
        ),
        Figure(name=f"the same {count:,} again, all known", ours_s=_seconds(post_all), peer=peer, peer_s=peer_s),
        Figure(
            name=f"{SINGLE} readings by POST, one by one",
            ours_s=_seconds(post_singly),
            peer=peer,
            peer_s=_seconds(insert_singly),
        ),
    ]


def _a_file(zone: Zone, bare: BareTable) -> Figure:
    rows = rows_until(timezone.now(), A_YEAR)
    content = (
        "at,temp_c,rh_pct\n" + "".join(f"{at},{air_c:.1f},{rh_pct:.1f}\n" for at, air_c, rh_pct in rows)
    ).encode()
    sensor, _token = add_sensor(name="Logger 0", zone=zone, every_min=5, sends=False, by=None)

    def take() -> None:
        file, how = open_readings(io.BytesIO(content)), HowToRead(zone=UTC)
        now = timezone.now()
        taken = take_in_file(file=file, how=how, sensor=sensor, by=None, now=now, watch=lambda row: None)
        if taken.recorded != A_YEAR:
            raise RuntimeError(f"{taken.recorded} of {A_YEAR} readings were taken in")

    def take_bare() -> None:
        found = csv.reader(io.StringIO(content.decode()))
        next(found)
        handful: list[Row] = []
        for at, air_c, rh_pct in found:
            handful.append((at, float(air_c), float(rh_pct)))
            if len(handful) == AT_ONCE:
                bare.insert(handful)
                handful = []
        bare.insert(handful)

    return Figure(
        name=f"a file of {A_YEAR:,} readings",
        ours_s=_seconds(take),
        peer="csv and bare INSERTs",
        peer_s=_seconds(take_bare),
        aim_s=A_YEAR / AIM_A_SECOND,
    )


def _the_clock(zone: Zone) -> Figure:
    """One more reading beside a year of five zones, of which the clock remembers the last months."""
    logger = Sensor.objects.get(name="Logger 0")
    sensors = [logger, *(_copy_of(logger, n) for n in range(1, ZONES))]
    kept = KeptAir()
    kept.under(Pulse.now())
    taken = []
    for n in range(ROUNDS):
        sample = Sample(at=timezone.now(), air_c=15.0 + n / 10, rh_pct=50.0)
        take_in(sensor=sensors[n % ZONES], now=timezone.now(), air=[sample])
        taken.append(_seconds(partial(kept.under, Pulse.now())))
    return Figure(
        name=f"the air of {ZONES} zones after a new reading",
        ours_s=median(taken),
        peer="reading the air anew",
        peer_s=_seconds(fresh_airs),
    )


def _copy_of(logger: Sensor, number: int) -> Sensor:
    zone = Zone.objects.create(name=f"Loft of sensors {number}")
    sensor, _token = add_sensor(name=f"Logger {number}", zone=zone, every_min=5, sends=False, by=None)
    columns = "at, air_c, rh_pct, surface_c, flag, out, turn"
    with connection.cursor() as cursor:
        cursor.execute(
            f"INSERT INTO {Reading._meta.db_table} ({columns}, zone_id, sensor_id)"
            f" SELECT {columns}, %s, %s FROM {Reading._meta.db_table} WHERE sensor_id = %s",
            [zone.pk, sensor.pk, logger.pk],
        )
    return sensor


def _token(zone: Zone, name: str) -> str:
    return add_sensor(name=name, zone=zone, every_min=5, sends=True, by=None)[1] or ""


def _seconds(work: Callable[[], object]) -> float:
    """Seconds of one round: most of these change the table, and a second round would be another question."""
    begun = perf_counter()
    work()
    return perf_counter() - begun
