"""Sentences that a form tells otherwise than a file: put together, joined, sent to a process."""

import pickle

from pieces.errors import BadValue, Fault
from pieces.wording import Form, Wording, choose, either, key, on_form, such_as, write

FORM = Form(lambda name: name.replace("_", " "))


def test_a_verb_has_its_capital_where_a_sentence_begins() -> None:
    told = choose("nap", "none") + ". " + write("panels", 2) + ", or " + choose("nap", "one-way")
    assert told == 'Write nap = "none". Write panels = 2, or write nap = "one-way"'
    assert on_form(told, FORM) == (
        "Choose “none” for nap. Write 2 for panels, or choose “one-way” for nap"
    )


def test_what_is_joined_keeps_its_parts() -> None:
    told = "Known: " + Wording(", ").join(["nap", key("sold_by"), such_as("width", "1 m")]) + "."
    assert told == 'Known: nap, sold_by, such as width = "1 m".'
    assert on_form(told, FORM) == "Known: nap, sold by, such as 1 m."
    assert on_form(Wording("; ").join([]), FORM) == ""


def test_a_fault_is_whole_in_another_process() -> None:
    remedy = "Give a smaller " + key("neck_depth") + either(" in the file.", ".")
    sent = pickle.loads(pickle.dumps(Fault("o.toml", "garment[0]", "It is deep.", remedy)))
    assert str(sent) == "o.toml: garment[0]: It is deep. Give a smaller neck_depth in the file."
    assert on_form(sent.remedy, FORM) == "Give a smaller neck depth."


def test_a_value_that_is_refused_keeps_its_remedy_apart() -> None:
    refused = BadValue("It is deep.", "Give a smaller " + key("neck_depth") + ".")
    assert str(refused) == "It is deep. Give a smaller neck_depth."
    assert str(BadValue("It is deep.")) == "It is deep."
    assert on_form(refused.remedy, FORM) == "Give a smaller neck depth."
