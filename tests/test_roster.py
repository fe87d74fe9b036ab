"""Whose a hand-in is: ids and whole names in a path, in every way in which a class list and a platform write them. Names are invented."""

import pytest

from anim_lessons import ActionError
from anim_lessons.course.hand_ins.roster import Learner, Roster, read_due, read_roster

CLASS = Roster([Learner("10007", "Tern Quay"), Learner("100", "Łyska Søund"), Learner("10021", "O'Heron Narrows"), Learner("ab-7", "Grèbe of the Ferry"),
                Learner("7", "山田 太郎"), Learner("x1", "Twin Landing"), Learner("x2", "Twin Landing"), Learner("10070", "Tern Quayside")])


@pytest.mark.parametrize("path, who", [
    ("Tern Quay_10007_handed_in/wave.json", "10007"), ("10007.json", "10007"), ("tern-quay/wave.json", "10007"), ("QUAY, Tern/wave.json", "10007"),
    ("quaytern_wave.json", "10007"), ("Tern_Quay_2026-11-29/x.json", "10007"), ("a/b/10007/wave.json", "10007"),
    ("Lyska Sound/wave.json", "100"), ("Łyska Søund/wave.json", "100"), ("soundlyska/wave.json", "100"), ("hand-in 100.zip/wave.json", "100"),
    ("oheron narrows/w.json", "10021"), ("O’Heron Narrows/w.json", "10021"), ("Narrows O'Heron.zip/w.json", "10021"),
    ("Grèbe of the Ferry/w.json", "ab-7"), ("of the Ferry, Grebe/w.json", "ab-7"), ("Gre\u0300be of the Ferry/w.json", "ab-7"), ("AB-7/w.json", "ab-7"),
    ("山田太郎/w.json", "7"), ("太郎 山田/w.json", "7"),
    ("10070/wave.json", "10070"),                       # an id within a longer id
    ("Tern Quayside/wave.json", "10070"),
    ("ab-7/7.json", "ab-7"),                            # the outermost part names whoever it names
    ("10007/for 10021.json", "10007"),
    ("x1 Twin Landing/w.json", "x1"),                   # an id goes before a name
    ("Twin Landing/w.json", None),                      # two of that name
    ("10007 and 10021/w.json", None), ("Tern/w.json", None), ("Quay/w.json", None), ("1000/w.json", None), ("nobody/wave.json", None), ("", None),
])
def test_whose_it_is(path, who):
    learner = CLASS.whose(path.split("/"))
    assert who == (learner and learner.id)


@pytest.mark.parametrize("text", [
    b"id,name,due\n7,Tern Quay,2026-12-06\n8,Knot Quay,\n", b"\xef\xbb\xbfid;name;due\r\n7;Tern Quay;2026-12-06\r\n\r\n8;Knot Quay;\r\n",
    b"Due\tName\tID\n2026-12-06\tTern Quay\t7\n\tKnot Quay\t8", b'name,id,due,room\n"Tern Quay",7,2026-12-06,12\n"Knot Quay",8,,12\n',
])
def test_a_roster_as_spreadsheets_write_it(tmp_path, text):
    (tmp_path / "class.csv").write_bytes(text)
    first, second = read_roster(tmp_path / "class.csv").learners.values()
    assert (("7", "Tern Quay", read_due("2026-12-06")), ("8", "Knot Quay", None)) == ((first.id, first.name, first.due), (second.id, second.name, second.due))


def test_a_roster_of_names_alone_or_of_ids_alone(tmp_path):
    (tmp_path / "class.csv").write_text("name\nTern Quay\n")
    assert "Tern Quay" == read_roster(tmp_path / "class.csv").whose(["tern_quay"]).id
    (tmp_path / "class.csv").write_text("id\n7\n")
    assert "7" == read_roster(tmp_path / "class.csv").whose(["hand-in 7"]).id


@pytest.mark.parametrize("text, says", [
    (b"id,name\n7,a\n7,b\n", 'line 3: "7" is in line 2 too; give each learner an id of their own'),
    (b"number,given\n7,a\n", 'the head is "number,given"; let its first line name the columns: id, name, due'),
    (b"", 'the head is ""'), (b"id,id\n1,2\n", 'the column "id" is there twice'), (b"id,name\n,\n", "names no learner"),
    (b"id,due\n7,tomorrow\n", 'line 2: "tomorrow" is no date; write it as 2026-11-29'), (b"id\n\xff\n", "is no CSV in UTF-8"),
    (b"id,name\n" + b"9" * 200_000, "is no table"),
])
def test_a_roster_that_cannot_be_read(tmp_path, text, says):
    (tmp_path / "class.csv").write_bytes(text)
    with pytest.raises(ActionError) as error:
        read_roster(tmp_path / "class.csv")
    assert says in str(error.value) and "class.csv" in str(error.value)


def test_a_roster_that_is_not_there(tmp_path):
    for path in (tmp_path / "none.csv", tmp_path, "a\0b"):
        with pytest.raises(ActionError):
            read_roster(path)


def test_a_day_lasts_to_its_end():
    assert ("2026-11-29 23:59:59", "2026-11-29 18:00:00") == (str(read_due("2026-11-29")), str(read_due(" 2026-11-29T18:00")))
    assert None is read_due("2026-11-29T18:00+01:00").tzinfo
    with pytest.raises(ActionError, match="is no date"):
        read_due("29.11.")
