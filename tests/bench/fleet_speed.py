"""Speed of the pages on a generated fleet: `FLEET_POSITIONS=2000` for a quick look.

Needs PostgreSQL. The fleet, and one a tenth its size, are made once, each in a database
of its own beside the one that DATABASE_URL names, and used again by the next run.
"""

import os
import sys
import time
from datetime import datetime, timedelta
from pathlib import Path
from statistics import median

import django

SIZE = int(os.environ.get("FLEET_POSITIONS", "10000"))
SMALL = max(SIZE // 10, 10)
ROUNDS = 5
STORIES = 9
MONTHS = 12
AGGREGATES = Path(__file__).with_name("fleet_aggregates.sql")
ROUNDS_READ = Path(__file__).with_name("fleet_rounds.sql")
PAGES = (
    ("Fleet", "analytics:fleet"),
    ("MTBR", "analytics:mtbr"),
    ("Data quality", "records:data_quality"),
    ("Repairs", "records:repair_list"),
    ("Costs", "analytics:costs"),
    ("Pumps", "plant:position_list"),
    ("Life, every seal in one population", "analytics:life"),
    ("Trend, every position in one curve", "analytics:trend"),
    ("Lost production worked out, usual window", "analytics:lost_production"),
    ("Budget of the next 12 months", "analytics:budget"),
)


def say(words):
    sys.stdout.write(f"{words}\n")
    sys.stdout.flush()


def seconds(work):
    started = time.perf_counter()
    work()
    return time.perf_counter() - started


def database_name(size):
    return f"bench_fleet_{size}"


def database_turn(size):
    """Ask the database of a fleet of this size from now on."""
    from django.contrib.contenttypes.models import ContentType
    from django.db import connection

    connection.close()
    connection.settings_dict["NAME"] = database_name(size)
    ContentType.objects.clear_cache()


def database_use(size):
    """Turn to the database of a fleet of this size; make and fill it if missing."""
    from django.core.management import call_command
    from django.db import connection

    from plant.models import Site

    name = database_name(size)
    connection.close()
    connection.settings_dict["NAME"] = SERVER_DATABASE
    with connection.cursor() as cursor:
        cursor.execute("SELECT 1 FROM pg_database WHERE datname = %s", [name])
        if cursor.fetchone() is None:
            cursor.execute(f"CREATE DATABASE {connection.ops.quote_name(name)}")
    database_turn(size)
    call_command("migrate", verbosity=0, skip_checks=True)
    if not Site.objects.exists():
        took = seconds(lambda: call_command("load_demo", positions=size))
        say(f"made and stored in {took:.0f} s")


SERVER_DATABASE = ""


def browser():
    """A client of the manager, who sees everything that costs time."""
    from plant.models import User
    from tests.conftest import logged_in

    return logged_in(User.objects.get(username="manager"))


def page_seconds(client, name, *args):
    """Server time of one page, from the request to the last byte of the answer."""
    from django.urls import reverse

    def ask():
        answer = client.get(reverse(name, args=args), secure=True)
        assert answer.status_code == 200, f"{name}: {answer.status_code}"

    return seconds(ask)


def stories_compare():
    """Medians over stories from all over each fleet, asked in turn of both fleets.

    Each is asked twice and the shorter time counts, as other work on the computer
    only ever adds.
    """
    took = {SMALL: [], SIZE: []}
    for place in range(STORIES):
        for size, seconds_of in took.items():
            database_turn(size)
            client = browser()
            key = _story_key(place)
            if not place:
                page_seconds(client, "analytics:story", key)
            asked = [page_seconds(client, "analytics:story", key) for _ in range(2)]
            seconds_of.append(min(asked))
    return median(took[SMALL]), median(took[SIZE])


def _story_key(place):
    from plant.models import Position

    positions = Position.objects.order_by("pk")
    return positions[positions.count() * place // STORIES].pk


def aggregates_fetch():
    """What the Bad actors page is made of, by plain SQL; the rows are fetched."""
    from django.db import connection
    from django.utils import timezone

    from analytics.exposure import months_back, window_of_months

    window = window_of_months(timezone.localdate(), MONTHS)
    zone = timezone.get_current_timezone()

    def midnight(day):
        return datetime.combine(day, datetime.min.time(), zone)

    after = midnight(window.end + timedelta(days=1))
    before = months_back(window.start, 1)
    days = {
        "since": midnight(before - timedelta(days=60)),
        "start": midnight(window.start),
        "after": after,
        "start_before": midnight(before),
        "after_before": midnight(months_back(window.end, 1) + timedelta(days=1)),
    }
    fetched = 0
    with connection.cursor() as cursor:
        for statement in AGGREGATES.read_text(encoding="utf-8").split(";"):
            if statement.strip():
                cursor.execute(statement, days)
                fetched += len(cursor.fetchall())
    return fetched


def bad_actors_against_sql():
    client = browser()
    page_seconds(client, "analytics:bad_actors")
    rows = aggregates_fetch()
    page, plain = [], []
    for _ in range(ROUNDS):
        page.append(page_seconds(client, "analytics:bad_actors"))
        plain.append(seconds(aggregates_fetch))
    say(
        f"Bad actors {median(page):.2f} s; its aggregates by plain SQL, "
        f"{rows:,} rows, {median(plain):.2f} s"
    )
    return median(page) / median(plain)


def pages_say():
    """Seconds of the other pages, for information; the second answer of each."""
    client = browser()
    for title, name in PAGES:
        page_seconds(client, name)
        took = page_seconds(client, name)
        say(f"{title} {took:.2f} s")


def review_says():
    """Seconds of this month's review, opened where none is."""
    from django.utils import timezone

    from analytics.models import Review
    from analytics.services.reviews import review_open
    from plant.models import Site, User

    client = browser()
    review = Review.objects.first() or review_open(
        by=User.objects.get(username="engineer"),
        site=Site.objects.get(),
        month=timezone.localdate().replace(day=1),
    )
    took = min(
        page_seconds(client, "analytics:review_detail", review.pk) for _ in range(2)
    )
    say(f"Review of a month {took:.2f} s")


def energy_says():
    """Seconds of Energy and wear over rounds that are read for this run only."""
    from django.db import connection, transaction

    from records.models import Reading

    client = browser()
    with transaction.atomic():
        with connection.cursor() as cursor:
            cursor.execute(ROUNDS_READ.read_text(encoding="utf-8"))
        took = min(page_seconds(client, "analytics:energy") for _ in range(3))
        say(f"Energy and wear, {Reading.objects.count():,} readings {took:.2f} s")
        transaction.set_rollback(True)


def life_samples():
    """One sample for each part number and piping plan of the fleet."""
    from django.utils import timezone

    from analytics.samples import SampleRule, sample_build
    from plant.models import User
    from records.selectors.lives import LifeFilter, life_tables

    now = timezone.now()
    user = User.objects.get(username="manager")
    sample = sample_build(
        life_tables(user=user, choice=LifeFilter(), as_of=now), SampleRule(as_of=now)
    )
    groups = sample.used.groupby(["component", "part", "piping_plan"])
    return [sample.narrowed(rows).life_data() for _name, rows in groups]


def life_fits():
    from analytics.life.weibull import weibull_fit_many

    started = time.perf_counter()
    samples = life_samples()
    reading = time.perf_counter() - started
    weibull_fit_many(samples[:5])
    took = [seconds(lambda: weibull_fit_many(samples)) for _ in range(ROUNDS)]
    limits = seconds(lambda: weibull_fit_many(samples, intervals="likelihood_ratio"))
    lives = sum(sample.ages.size for sample in samples)
    say(
        f"Life fits of all {len(samples):,} populations, {lives:,} lives: "
        f"{median(took):.3f} s (asked: below 2); with likelihood-ratio limits "
        f"{limits:.3f} s; reading and sorting the lives took {reading:.1f} s"
    )


def run():
    """Print seconds; ratios of the two that are asked for."""
    global SERVER_DATABASE
    django.setup()
    from django.db import connection

    from config import memory

    # As a process that serves pages does.
    memory.search_seldom()
    if connection.vendor != "postgresql":
        say("needs PostgreSQL: set DATABASE_URL, or run under pg_virtualenv; skipped")
        return []
    SERVER_DATABASE = connection.settings_dict["NAME"]
    say(f"load of the computer {os.getloadavg()[0]:.1f}")
    database_use(SMALL)
    database_use(SIZE)
    small, large = stories_compare()
    say(f"story: {small:.2f} s among {SMALL:,} positions, {large:.2f} s among {SIZE:,}")
    ratio = bad_actors_against_sql()
    pages_say()
    review_says()
    energy_says()
    life_fits()
    say(f"load of the computer {os.getloadavg()[0]:.1f}")
    return [
        (f"story among {SIZE:,} / among {SMALL:,} positions (flat: 1)", large / small),
        ("Bad actors page / its aggregates by plain SQL (at most 3)", ratio),
    ]
