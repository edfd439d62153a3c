"""The mapping's file: written for people, read back the same, and every mistake in it told with its place."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quotekit.suppliers.fixed_width import Cut
from quotekit.suppliers.mapping import FIELDS, KINDS, PriceMapping, mapping_of, mapping_path, read_mapping
from quotekit.suppliers.mapping_text import mapping_text
from quotekit.suppliers.number_texts import NumberStyle

SMALLEST = 'supplier = "ACME"\n[columns]\nnumber = "No"\ncost = "Net"\n'


def test_the_smallest_mapping(tmp_path: Path) -> None:
    """All else has a default; nothing but the columns must be written."""
    (tmp_path / "m.toml").write_text(SMALLEST, encoding="utf-8")
    mapping, problems = read_mapping(tmp_path / "m.toml")
    assert problems == []
    assert mapping == PriceMapping(supplier="ACME", kind="delimited", columns={"number": "No", "cost": "Net"})


@pytest.mark.parametrize(
    ("text", "says", "remedy"),
    [
        ("supplier = ", "the mapping can't be read", "Mend that line"),
        (SMALLEST + "colour = 1\n", "colour is not known", ""),
        (SMALLEST + 'discription = "X"\n', "discription is not known", "Did you mean description?"),
        (SMALLEST + '[colums]\nnumber = "No"\n', "[colums] is not known", "Did you mean columns?"),
        ('suplier = "A"\n' + SMALLEST, "suplier is not known", "Did you mean supplier?"),
        ('[columns]\ncost = "Net"\n', "no column is named for number", "[columns]"),
        ('[columns]\nnumber = "No"\n', "neither cost nor list_price", "[columns]"),
        ('[file]\nkind = "fixed width"\n[columns]\nnumber = "A"\ncost = "B"\n', "no column is named", "[places]"),
        (SMALLEST + '[amounts]\ncost_is_for = "pack"\n', "no column is named for pack", "[columns]"),
        ("[columns]\nnumber = 1\n", "number = 1 is no text", "between quotes"),
        (SMALLEST + '[file]\nkind = "pdf"\n', "kind = 'pdf' is not known", '"delimited"'),
        (SMALLEST + '[file]\nencoding = "hex"\n', "encoding = 'hex' is not known", "cp1252"),
        (SMALLEST + '[file]\nseparator = "--"\n', "separator", "semicolon"),
        (SMALLEST + '[file]\nseparator = "."\n', "separator", "semicolon"),
        (SMALLEST + "[file]\nquotes = 1\n", "neither true nor false", "true or false"),
        (SMALLEST + "[file]\nheader_row = -1\n", "header_row = -1 is no row", "0 where there is no header"),
        (SMALLEST + "[file]\nheader_row = true\n", "header_row = True is no row", "0 where"),
        (SMALLEST + '[amounts]\ndecimal_mark = ";"\n', "decimal_mark", '"." or ","'),
        (SMALLEST + '[amounts]\ngrouping_mark = "."\n', "grouping_mark", "apostrophe"),
        (SMALLEST + '[amounts]\ncurrency = "ZZZ"\n', "currency = 'ZZZ' is not known", "USD"),
        (SMALLEST + '[amounts]\ncost_is_for = "box"\n', "cost_is_for", '"each" or "pack"'),
        (SMALLEST + '[amounts]\ncost_is_for = "0"\n', "cost_is_for = '0' is not known", 'how many it is for: "100"'),
        (SMALLEST + "[amounts]\nlist_is_for = 1.5\n", "list_is_for = 1.5 is not known", 'Write "each", or how many'),
        (SMALLEST + '[amounts]\nlist_is_for = "pack"\n', "list_is_for = 'pack' is not known", 'Write "each", or'),
        (SMALLEST + '[amounts]\ndate_order = "any"\n', "date_order", "day month year"),
        ("[places]\nnumber = [0, 5]\n", "number = [0, 5] is no place", "[1, 12]"),
        ("[places]\nnumber = [5, 2]\n", "number = [5, 2] is no place", "[1, 12]"),
    ],
)
def test_each_mistake_is_told(tmp_path: Path, text: str, says: str, remedy: str) -> None:
    (tmp_path / "m.toml").write_text(text, encoding="utf-8")
    mapping, (problem,) = read_mapping(tmp_path / "m.toml")
    assert mapping is None
    assert problem.code == "bad-price-mapping"
    assert says in problem.message and remedy in problem.remedy


def test_no_mapping(tmp_path: Path) -> None:
    mapping, (problem,) = read_mapping(tmp_path / "ACME price list.toml")
    assert mapping is None and problem.code == "no-price-mapping" and "quotekit prices map" in problem.remedy


def test_a_mapping_saved_in_another_encoding(tmp_path: Path) -> None:
    (tmp_path / "m.toml").write_bytes('supplier = "Müller"'.encode("cp1252"))
    assert read_mapping(tmp_path / "m.toml")[1][0].code == "bad-price-mapping"


@pytest.mark.parametrize(
    ("supplier", "name"),
    [("ACME", "ACME price list.toml"), ("A/B: C", "A-B- C price list.toml"), ("..", "supplier price list.toml")],
)
def test_where_a_mapping_is_kept(supplier: str, name: str) -> None:
    """No name of a supplier leads out of the folder."""
    assert mapping_path(Path("shop"), supplier) == Path("shop") / name


texts = st.text(max_size=12)
columns = st.dictionaries(st.sampled_from([*FIELDS]), st.text(min_size=1, max_size=12), max_size=5)
mappings = st.builds(
    PriceMapping,
    supplier=texts,
    kind=st.sampled_from([kind for kind in KINDS if kind != "fixed width"]),
    columns=columns.map(lambda named: {"number": "No", "cost": "Net", "pack": "Pack"} | named),
    encoding=st.sampled_from(["utf-8", "cp1252", "iso8859-15", "cp850"]),
    separator=st.sampled_from(["\t", ",", ";", "|", "~"]),
    header_row=st.integers(min_value=0, max_value=50),
    style=st.sampled_from([NumberStyle(decimal_mark=",", grouping_mark=mark) for mark in ("", ".", " ", "'")]),
    currency=st.sampled_from(["", "EUR"]),
    cost_is_for=st.sampled_from(["each", "pack", "100"]),
    list_is_for=st.sampled_from(["each", "1000"]),
    date_order=st.sampled_from(["", "day month year"]),
)


@given(mappings, st.text(max_size=20))
def test_what_is_written_is_read_back(mapping: PriceMapping, reason: str) -> None:
    """Whatever stands in a header or a reason: quotes, line ends, a # or a bracket."""
    reasons = dict.fromkeys([*FIELDS, "encoding", "separator", "header_row", "decimal_mark"], reason)
    read = mapping_of(tomllib.loads(mapping_text(mapping, reasons, [reason])))
    for name in ("supplier", "kind", "columns", "header_row", "style", "currency", "cost_is_for", "list_is_for"):
        assert getattr(read, name) == getattr(mapping, name), name
    if mapping.kind == "delimited":
        assert (read.encoding, read.separator) == (mapping.encoding, mapping.separator)


@pytest.mark.parametrize(("said", "kept"), [('"100"', "100"), ("100", "100"), ('"1"', "each"), ('"each"', "each")])
def test_a_price_for_so_many(tmp_path: Path, said: str, kept: str) -> None:
    """A list that is for a hundred throughout has no column that says so: the mapping does, quoted or not."""
    (tmp_path / "m.toml").write_text(SMALLEST + f"[amounts]\ncost_is_for = {said}\n", encoding="utf-8")
    mapping, _ = read_mapping(tmp_path / "m.toml")
    assert mapping is not None and mapping.cost_is_for == kept


def test_places_are_written_and_read_back() -> None:
    places = {"number": Cut(start=1, end=9), "cost": Cut(start=20)}
    mapping = PriceMapping(supplier="A", kind="fixed width", columns={}, places=places)
    assert mapping_of(tomllib.loads(mapping_text(mapping, {}))).places == places


def test_what_a_list_lacks_stands_behind_a_mark() -> None:
    """So that the owner sees what else can be named."""
    mapping = PriceMapping(supplier="A", kind="delimited", columns={"number": "No", "cost": "Net"})
    text = mapping_text(mapping, {})
    assert "# superseded_by =  # the number that replaces this one" in text
    assert 'number = "No"  # the supplier\'s number, as text' in text


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ('columns = "No"', "columns is no table"),
        ("file = 3", "file is no table"),
        ('[[columns]]\nnumber = "No"', "columns is no table"),
        ("a = " + "[" * 5000, "nested too deeply"),
        ('[file]\nencoding = "punycode"\n[columns]\nnumber = "No"\ncost = "Net"', "is not known"),
        ('[file]\nencoding = "unicode_escape"\n[columns]\nnumber = "No"\ncost = "Net"', "is not known"),
        ('[file]\nkind = "fixed width"\n[places]\nnumber = [1, 5]\ncost = [6, 99999999999999999999]', "is no place"),
    ],
)
def test_slips_of_an_owner_who_writes_a_mapping(tmp_path: Path, text: str, says: str) -> None:
    (tmp_path / "m.toml").write_text(text)
    mapping, (problem,) = read_mapping(tmp_path / "m.toml")
    assert mapping is None and problem.code == "bad-price-mapping"
    assert says in problem.message and problem.remedy and "Did you mean" not in problem.remedy


def test_a_folder_in_the_place_of_a_mapping(tmp_path: Path) -> None:
    assert read_mapping(tmp_path)[1][0].code == "bad-price-mapping"
