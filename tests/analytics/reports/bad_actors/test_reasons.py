from analytics.reports.bad_actors.facts import RepairFacts
from analytics.reports.bad_actors.reasons import flag_reason, one_in, sure_in_words


def fact(**more):
    words = {"item": "Mechanical seal", "mechanism": "", "patterns": ("Heat checks",)}
    return RepairFacts(1, True, True, on_starting=False, position=1, **words | more)


def reason(**more):
    figures = {
        "repairs": 5,
        "events": 5,
        "months": 12.0,
        "expected": 1.1,
        "worse": 0.93,
        "p_value": 0.004,
    }
    return flag_reason(**figures | more).replace("\u00a0", " ")


def test_every_number_of_the_model_stands_in_the_sentence():
    facts = [fact(), fact(), fact(), fact(item="Impeller", patterns=()), fact()]
    assert reason(facts=facts) == (
        "5 repairs, 4 events of the mechanical seal, in 12.0 months where pumps like "
        "it have 1.1; likely worse than twice its peers (odds 93 %; where pumps differ "
        "by degrees, as few as 61 % of such hold), and by chance alone 1 in 250 pumps "
        "like it would have as many; its latest event is the fourth of 5 with heat "
        "checks."
    )


def test_rework_is_told():
    assert reason(repairs=7).startswith("7 repairs (5 separate events, rework merged) ")


def test_without_findings_it_ends_with_the_chance():
    assert reason().endswith("1 in 250 pumps like it would have as many.")


def test_odds_that_say_little_are_left_out():
    assert "odds" not in reason(worse=0.4)


def test_nothing_is_sure_beyond_doubt():
    words = sure_in_words(0.99999).replace("\u00a0", " ")
    assert words.startswith(
        "very likely worse than twice its peers (odds more than 99 %"
    )
    assert sure_in_words(0.65).startswith("perhaps worse than twice its peers (odds 65")


def test_the_rarest_chance_has_a_name():
    assert one_in(1e-9) == "fewer than 1 in 1,000,000"
