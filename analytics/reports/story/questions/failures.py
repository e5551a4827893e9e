"""Questions from failures: the same again, on starting, or with one machine."""

from collections import Counter
from collections.abc import Sequence

from analytics.reports.story.bench import BenchStory
from analytics.reports.story.questions.question import (
    SELDOM,
    Question,
    at_least,
    expected_words,
)
from analytics.reports.story.repairs import NOT_TELLING, RepairRow, Shares
from plant.display import count, hours, percent

LEAST_TIMES = 3
LEAST_PATTERN_TIMES = 3
LEAST_STARTS = 2
LEAST_SHARE = 0.5
LEAST_SHORT_AFTER = 2
LEAST_RATIO = 2.0


def same_mechanism(failures: Sequence[RepairRow], shares: Shares) -> Question | None:
    """A mechanism that comes back more often than among the pumps nearby."""
    known = [row.mechanism for row in failures if row.mechanism not in NOT_TELLING]
    times = Counter(known)
    for mechanism, often in times.most_common():
        usual = shares.of_mechanism(mechanism)
        chance = at_least(often, len(known), usual) * len(times)
        is_main = often >= LEAST_TIMES and often >= LEAST_SHARE * len(known)
        if is_main and chance <= SELDOM:
            name = next(r for r in failures if r.mechanism == mechanism)
            words = name.mechanism_in_words.lower()
            return Question(
                f"The same again: {words}",
                f"What here keeps causing {words}, and does any repair so far remove "
                "it rather than its damage?",
                f"{often} of {count(len(known), 'failure')} of known mechanism; at the "
                f"pumps compared it is {percent(usual)}.{_patterns(failures)}",
            )
    return None


def _patterns(failures: Sequence[RepairRow]) -> str:
    """What was seen most at teardown, where it was seen again."""
    seen = Counter(title for row in failures for title in set(row.patterns))
    found = [(n, title) for title, n in seen.items() if n >= LEAST_PATTERN_TIMES]
    if not found:
        return ""
    often, title = max(found)
    return f" Seen at teardown {often} times: {title[0].lower()}{title[1:]}."


def fails_on_starting(failures: Sequence[RepairRow], shares: Shares) -> Question | None:
    """Half of its failures and more came on starting, as elsewhere they do not."""
    known = [row for row in failures if row.operating_state]
    starts = sum(row.on_starting for row in known)
    if starts < LEAST_STARTS or starts < LEAST_SHARE * len(known):
        return None
    if at_least(starts, len(known), shares.on_starting) > SELDOM:
        return None
    return Question(
        "Fails on starting",
        "How is it kept and started (cold, unvented, not turned, no flush), and would "
        "running it in turn with its partner help?",
        f"{starts} of {count(len(known), 'failure')} came on starting; at the pumps "
        f"compared it is {percent(shares.on_starting)}.",
    )


def follows_the_machine(
    name: str, with_it: int, all_events: int, share_of_time: float
) -> Question | None:
    """Repairs come with one machine far beyond its share of the time at these tags."""
    if with_it < LEAST_TIMES or not 0 < share_of_time < 1:
        return None
    expected = share_of_time * all_events
    chance = at_least(with_it, all_events, share_of_time)
    if with_it < LEAST_RATIO * expected or chance > SELDOM:
        return None
    return Question(
        f"Trouble goes with {name}",
        f"What is wrong with {name} itself (cover, shaft, casing, fits), whatever tag "
        "it stands at?",
        f"{with_it} of {count(all_events, 'repair')} came while it stood there, "
        f"{percent(share_of_time)} of the time; {expected_words(expected)}.",
    )


def short_after_checks(bench: BenchStory) -> Question | None:
    """Settings left out of limit, and the parts fitted then failed early."""
    if len(bench.short_after) < LEAST_SHORT_AFTER:
        return None
    latest = bench.short_after[-1]
    return Question(
        "Short lives after checks out of limit",
        "Why is it handed back out of limit, and what would it take to bring it into "
        "limit at the next stop?",
        f"{count(len(bench.short_after), 'part')} that ran with a check left out of "
        f"limit failed early, of {bench.fitted_after} that failed; last after "
        f"{latest.number}: {latest.check[0].lower()}{latest.check[1:]}, then "
        f"{latest.place[0].lower()}{latest.place[1:]} failed after "
        f"{hours(latest.hours)}.",
    )
