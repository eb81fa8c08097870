"""Texts: letters, signs between cells, line ends and quotes. The kinds of file are common practice, no source."""

import codecs

import pytest

from costing.supply.arriving.line import Unreadable
from costing.supply.arriving.table import Table
from costing.supply.readers.letters import ENCODINGS, decode
from costing.supply.readers.text import LONGEST_QUOTE, read_text

ROWS = (
    ("Code", "Name", "Menge", "Preis"),
    ("0012", "Kräuterlikör, süß", "1.204", "12,50"),
    ("0013", "Jalapeño-Püree", "6", "8,20"),
    ("0014", "Crème de mûre 70 cl", "12", "101,05"),
)


def written(sign: str, end: str = "\n", rows: tuple[tuple[str, ...], ...] = ROWS) -> str:
    """The rows as text, cells with the sign in them in quotes."""
    lines = (sign.join(f'"{cell}"' if sign in cell else cell for cell in row) for row in rows)
    return "".join(line + end for line in lines)


RIGHT = {
    "utf-8": written(";").encode(),
    "utf-8 with mark": codecs.BOM_UTF8 + written(";").encode(),
    "cp1252": written(";").encode("cp1252"),
    "utf-16 with mark": written("\t").encode("utf-16"),
    "utf-16 le without mark": written("\t").encode("utf-16-le"),
    "utf-16 be without mark": written(";").encode("utf-16-be"),
    "tab": written("\t").encode(),
    "bar": written("|").encode(),
    "comma": written(",").encode(),
    "preamble": ("Lantern Drinks, Preisliste\n\nalle Preise netto\n\n" + written(";")).encode(),
    "sep line": ("sep=;\r\n" + written(";", "\r\n")).encode("cp1252"),
    "cr only": written(";", "\r").encode(),
}


@pytest.mark.parametrize("kind", RIGHT)
def test_files_that_can_be_read_right(kind: str) -> None:
    table = read_text(RIGHT[kind])
    assert table.rows[-len(ROWS) :] == ROWS
    assert table.sure == ("cp1252" not in kind and "sep" not in kind)


@pytest.mark.parametrize("encoding", ["iso8859-15", "mac-roman"])
def test_the_two_that_bytes_cannot_tell_are_not_sure_and_can_be_chosen(encoding: str) -> None:
    rows = (*ROWS, ("0015", "Cœur de bœuf", "1", "4,40"))
    data = written(";", rows=rows).encode(encoding)
    assert not read_text(data).sure
    chosen = read_text(data, encoding=encoding)
    assert chosen.rows == rows
    assert chosen.encoding == encoding
    assert chosen.sure


def test_a_preamble_stays_and_the_sep_line_is_no_row() -> None:
    assert read_text(RIGHT["preamble"]).rows[:4] == (("Lantern Drinks, Preisliste",), (), ("alle Preise netto",), ())
    assert read_text(RIGHT["sep line"]).rows == ROWS


@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
def test_line_ends_and_the_last_line_without_one(end: str) -> None:
    assert read_text(written(";", end).encode()).rows == ROWS
    assert read_text(written(";", end).rstrip("\r\n").encode()).rows == ROWS


def test_line_ends_may_be_mixed() -> None:
    assert read_text(b"a;b\r\nc;d\re;f\n\ng;h").rows == (("a", "b"), ("c", "d"), ("e", "f"), (), ("g", "h"))
    assert read_text(b'"a";b\r\nc;d\re;f\n\ng;h').rows == (("a", "b"), ("c", "d"), ("e", "f"), (), ("g", "h"))


def test_a_line_break_in_quotes_belongs_to_its_cell() -> None:
    """RFC 4180, section 2, rule 6."""
    table = read_text(b'Code;Name;Price\n1;"Gin\ndry";2,50\n2;Rum;3,10\n')
    assert table.rows == (("Code", "Name", "Price"), ("1", "Gin\ndry", "2,50"), ("2", "Rum", "3,10"))
    assert table.sure


def test_quotes_are_doubled_in_quotes() -> None:
    """RFC 4180, section 2, rule 7."""
    assert read_text(b'a,b\n"say ""gin""",2\n').rows[1] == ('say "gin"', "2")


def test_quotes_after_a_blank() -> None:
    assert read_text(b'1, "Gin, dry", 2.50\n2, "Rum, dark", 3.10\n').rows[0] == ("1", "Gin, dry", "2.50")


@pytest.mark.parametrize("odd", ['"Gin', 'Gin "', '"Gin" dry', '"'])
def test_a_quote_that_never_closes_eats_nothing(odd: str) -> None:
    lines = [f"{n};Item {n};{n},50" for n in range(200)]
    lines[3] = f"3;{odd};3,50"
    table = read_text("\n".join(lines).encode())
    assert len(table.rows) == 200
    assert all(len(row) == 3 for row in table.rows)
    assert table.rows[4] == ("4", "Item 4", "4,50")
    assert table.rows[3][2] == "3,50"
    assert odd.startswith("G") or not table.sure


def test_two_open_quotes_near_each_other_are_seen_too() -> None:
    table = read_text(b'1;"Gin;2,50\n2;Rum;3,10\n3;Ale";1,20\n4;Rye;5,00\n')
    assert len(table.rows) == 4
    assert not table.sure


def test_one_open_quote_leaves_true_quotes_alone() -> None:
    lines = [f'{n};"Item; no ""{n}""";"a\nb"' for n in range(50)]
    lines[7] = '7;"open;x'
    table = read_text("\n".join(lines).encode())
    assert len(table.rows) == 50
    assert table.rows[8] == ("8", 'Item; no "8"', "a\nb")
    assert table.rows[7] == ("7", '"open', "x")
    assert not table.sure


def test_a_cell_of_more_lines_than_any_has_is_no_cell() -> None:
    body = "\n".join("line" for _ in range(LONGEST_QUOTE + 5))
    table = read_text(f'1;"{body}";2\n2;x;3\n'.encode())
    assert len(table.rows) == LONGEST_QUOTE + 6
    assert not table.sure


@pytest.mark.parametrize(
    ("text", "sign"),
    [
        ("Gin 0,7 l;12,50\nRum 0,7 l;13,50\n", ";"),
        ("1;Gin;12,50\n2;Rum, dark;13,50;new\n3;Ale;1,50;;x\n", ";"),
        ("Code\tName\tPrice\n1\tGin, dry, old\t2.50\n2\tRum; dark\t3.10\n", "\t"),
        ("a|b|c\n1|2,5|3,5\n1|2,5|3,5\n", "|"),
        ('code,name,price\n1,"Gin; dry; old",2.50\n2,Rum,3.10\n', ","),
        (
            "Valid from 1.1.2026\nAll prices ex works, net\nsee terms; errors excepted\n\n"
            "Code,Name,Price\n1,Gin,2.50\n2,Rum,3.10\n3,Ale,4.00\n",
            ",",
        ),
    ],
)
def test_the_sign_between_cells(text: str, sign: str) -> None:
    assert read_text(text.encode()).delimiter == sign


def test_one_column_is_no_table_that_anybody_is_sure_of() -> None:
    table = read_text(b"Gin\nRum\nAle\n")
    assert table.rows == (("Gin",), ("Rum",), ("Ale",))
    assert (table.delimiter, table.sure) == ("", False)


def test_commas_that_are_decimal_marks_too_are_not_sure() -> None:
    table = read_text(b"Code,Name,Price\n1,Gin,12,50\n2,Rum,13,10\n3,Ale,1,20\n")
    assert not table.sure


@pytest.mark.parametrize(("given", "sign"), [("|", "|"), ("\\t", "\t"), ("tab", "\t"), (",", ",")])
def test_a_chosen_sign_is_used(given: str, sign: str) -> None:
    assert read_text(f"a{sign}b;c\n".encode(), delimiter=given).rows == (("a", "b;c"),)


@pytest.mark.parametrize("given", [";;", '"', "\n", "comma"])
def test_what_cannot_stand_between_cells_is_named(given: str) -> None:
    with pytest.raises(ValueError, match="cannot stand between cells"):
        read_text(b"a;b", delimiter=given)


def test_a_wrong_encoding_is_named() -> None:
    with pytest.raises(ValueError, match=r"not in utf-8: byte 8 .* choose another"):
        read_text(b"1;Creme\xe8;\n", encoding="utf-8")
    with pytest.raises(ValueError, match="not in shift_jis"):
        read_text(b"\xff\xff\xff", encoding="shift_jis")
    with pytest.raises(ValueError, match='"klingon" is not known'):
        read_text(b"a", encoding="klingon")
    with pytest.raises(ValueError, match="not known"):
        read_text(b"a", encoding="base64")


@pytest.mark.parametrize("encoding", ENCODINGS)
def test_every_encoding_that_is_offered_reads_what_it_wrote(encoding: str) -> None:
    letters = {"cp1251": "Лимонад", "cp1253": "Λεμόνι", "shift_jis": "ゆず", "gb18030": "柚子", "cp1250": "Śliwka"}
    text = f"1;{letters.get(encoding, 'Crème')};2,50\n"
    table = read_text(text.encode(encoding), encoding=encoding)
    assert table.rows == (tuple(text.strip().split(";")),)
    assert table.encoding == encoding


def test_undefined_bytes_of_cp1252_are_not_sure_and_kept() -> None:
    table = read_text(b"1;Gin\x81;2\n2;Rum \x80;3\n")
    assert table.rows == (("1", "Gin\x81", "2"), ("2", "Rum €", "3"))
    assert not table.sure


def test_utf_8_with_a_stray_byte_or_cut_short_stays_utf_8() -> None:
    good = written(";", rows=ROWS * 3).encode()
    mixed = read_text(good + b"9;Cr\xe8me;1;1\n")
    assert (mixed.encoding, mixed.sure) == ("utf-8", False)
    assert mixed.rows[1] == ROWS[1]
    assert mixed.rows[-1][1] == "Crème"
    cut = read_text(good[: good.rindex("û".encode()) + 1])
    assert (cut.encoding, cut.sure) == ("utf-8", False)
    assert cut.rows[1] == ROWS[1]


def test_nuls_are_no_letters() -> None:
    table = read_text(b"1;Gin;2\n2;Rum;3\n" + bytes(20))
    assert table.rows == (("1", "Gin", "2"), ("2", "Rum", "3"))
    assert not table.sure


def test_hidden_marks_and_names_of_missing_values_are_kept() -> None:
    rows = read_text("1;NA;\u200fGin\xa0dry\n2;null;  x \n".encode()).rows
    assert rows == (("1", "NA", "\u200fGin\xa0dry"), ("2", "null", "  x "))


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("a;b\n" * 200_001, "more than 200,000 rows"),
        ("a" + ";b" * 300 + "\n", "row 1 lies beyond column 256"),
        ("a;b\nc;" + "d" * 32_768 + "\n", "row 2 has more than 32,767 characters"),
        ("a;b\n" + 'c;"' + "d" * 140_000 + '"\n', "row 2 has more than 32,767 characters"),
        (";" * 3_100_000, "more than 3,000,000 cells"),
    ],
)
def test_what_is_beyond_the_caps_is_refused(text: str, said: str) -> None:
    with pytest.raises(Unreadable, match=said) as caught:
        read_text(text.encode(), name="list.csv")
    assert str(caught.value).startswith("list.csv: ")
    assert "\n" not in str(caught.value)


def test_progress_is_told_and_may_stop_the_work() -> None:
    seen: list[tuple[int, int]] = []
    data = b'a;"b"\n' * 50_000
    table: Table = read_text(data, tell=lambda done, of: seen.append((done, of)))
    assert len(table.rows) == 50_000
    assert len(seen) >= 2
    assert all(0 <= done <= of for done, of in seen)

    def stop(done: int, of: int) -> None:
        raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        read_text(data, tell=stop)


def test_byte_order_marks_of_every_width() -> None:
    for mark, encoding, name in (
        (codecs.BOM_UTF8, "utf-8", "utf-8"), (codecs.BOM_UTF16_LE, "utf-16-le", "utf-16"),
        (codecs.BOM_UTF16_BE, "utf-16-be", "utf-16"), (codecs.BOM_UTF32_LE, "utf-32-le", "utf-32"),
    ):  # fmt: skip
        found = decode(mark + "é;1".encode(encoding))
        assert (found.text, found.encoding, found.sure) == ("é;1", name, True)
