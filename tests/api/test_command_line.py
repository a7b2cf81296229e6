"""The command line, inside this process."""

import json
from pathlib import Path

import pytest

from standbook import cli, cli_serve
from standbook.config import data_folder, settings, user_data_folder
from standbook.people.pins import present


@pytest.fixture
def data(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("STANDBOOK_DATA", str(tmp_path / "data"))
    monkeypatch.delenv("STANDBOOK_DATABASE", raising=False)
    return tmp_path / "data"


def run(capsys: pytest.CaptureFixture[str], *words: str) -> tuple[int, str]:
    code = cli.main(words)
    told = capsys.readouterr()
    return code, told.out + told.err


def test_a_shop_of_ones_own_is_opened_with_a_lead_who_can_sign_in(
    data: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(cli, "asked_password", lambda name: "a long enough password")
    assert run(capsys, "shop", "Our Shop", "--lead", "Ann O.") == (
        0,
        "The book of Our Shop is open. Ann O. signs in as ann-o.\n",
    )
    assert run(capsys, "person", "Ben P.") == (0, "Ben P. is on the list as ben-p.\n")
    assert run(capsys, "check")[1].startswith("The book holds together: 0 entries")
    assert run(capsys, "shop", "Another", "--lead", "X Y.") == (
        2,
        "standbook: That does not work: this book already belongs to a shop.\n",
    )


def test_somebody_gets_a_pin_by_command(
    data: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(cli, "asked_password", lambda name: "a long enough password")
    run(capsys, "shop", "Our Shop", "--lead", "Ann O.")
    said = ["123456", "402718"]
    monkeypatch.setattr(cli, "asked_secret", lambda question: said.pop(0))
    weak = "standbook: That does not work: digits that follow each other are guessed at once; take another PIN.\n"
    assert run(capsys, "pin", "ann-o") == (2, weak)
    done = "ann-o has the new PIN at the stand as soon as a phone hears of it.\n"
    assert run(capsys, "pin", "ann-o") == (0, done)
    assert run(capsys, "pin", "nobody")[0] == 2
    services = cli.application()[1]
    with services.ledger.reading() as connection:
        (found,) = present(connection, services.ledger.shop()).values()
    assert found["number"] == 1


def test_a_password_that_is_too_short_opens_no_shop(
    data: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(cli, "asked_password", lambda name: "short")
    code, words = run(capsys, "shop", "Our Shop", "--lead", "Ann O.")
    assert (code, words) == (2, "standbook: That does not work: a password has 8 to 200 characters.\n")
    assert "no shop" in run(capsys, "check")[1]


def test_the_demo_is_seeded_once(data: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(capsys, "seed") == (0, "The demo shop is in the book.\n")
    code, words = run(capsys, "seed")
    assert (code, "only into an empty one" in words) == (2, True)
    assert run(capsys, "check")[1].startswith("The book holds together")


def test_the_demo_prints_its_sign_in_and_another_shop_does_not(
    data: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(cli_serve, "serve", lambda app, port, when_open: when_open())
    monkeypatch.setattr(cli_serve, "leave", lambda: None)
    code, words = run(capsys, "demo", "--port", "9000")
    assert code == 0
    assert "Standbook is open at http://127.0.0.1:9000" in words
    assert "sign in as Marta V., password " in words
    assert "adb reverse tcp:9000 tcp:9000" in words
    assert "password two" not in run(capsys, "serve", "--only-here")[1]


def test_a_broken_book_is_told_by_words_and_exit_code(data: Path, capsys: pytest.CaptureFixture[str]) -> None:
    run(capsys, "seed")
    services = cli.application()
    with services[1].writer.writing() as connection:
        connection.exec_driver_sql("DROP TRIGGER entries_update_frozen")
        connection.exec_driver_sql("UPDATE entries SET text = text || ' ' WHERE seq = 7")
    code, words = run(capsys, "check")
    assert code == 1
    assert "Entry 7 does not fit the chain" in words


def test_the_document_is_printed_without_a_book(data: Path, capsys: pytest.CaptureFixture[str]) -> None:
    code, words = run(capsys, "openapi")
    assert (code, json.loads(words)["openapi"]) == (0, "3.1.0")
    assert not data.exists()


def test_data_lives_where_it_is_told_or_in_the_checkout(tmp_path: Path) -> None:
    assert data_folder({"STANDBOOK_DATA": str(tmp_path)}) == tmp_path
    assert data_folder({}).name == ".standbook"
    assert settings({"STANDBOOK_DATA": str(tmp_path)}).database.startswith("sqlite:///")
    assert settings({"STANDBOOK_DATABASE": "postgresql://shop"}).database == "postgresql+psycopg://shop"


@pytest.mark.parametrize(
    ("platform", "environ", "expected"),
    [
        ("linux", {}, "home/.local/share/standbook"),
        ("linux", {"XDG_DATA_HOME": "/x"}, "/x/standbook"),
        ("darwin", {}, "home/Library/Application Support/Standbook"),
        ("win32", {}, "home/AppData/Local/Standbook"),
        ("win32", {"LOCALAPPDATA": "/l"}, "/l/Standbook"),
    ],
)
def test_an_installed_copy_keeps_its_data_where_the_platform_does(
    platform: str, environ: dict[str, str], expected: str
) -> None:
    assert user_data_folder(platform, environ, Path("home")).as_posix() == expected


def test_the_data_folder_keeps_itself_out_of_git(data: Path, capsys: pytest.CaptureFixture[str]) -> None:
    run(capsys, "check")
    assert (data / ".gitignore").read_text() == "*\n"
