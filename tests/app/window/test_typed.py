"""What people type: their decimal sign, feet and inches; what cannot be read stays to be mended."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QLocale, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QLineEdit

from app.window import typed
from app.window.main_window import MainWindow
from core.errors import InputError
from core.units import FOOT
from support.places import DEMOS
from support.simple_sites import isotropic
from support.windows import settle

ROOF = DEMOS / "harrow-lane-roof" / "harrow-lane-roof.json"


@pytest.mark.parametrize(
    ("text", "metres"),
    [
        ("1.5", 1.5), ("1,5", 1.5), (" 1,5 m", 1.5), ("150 cm", 1.5), ("0,125", 0.125), ("-2", -2.0),
        ("5 ft", 5 * FOOT), ("5'", 5 * FOOT), ("5' 6\"", 5.5 * FOOT), ("5ft 6in", 5.5 * FOOT),
        ("-5 ft 6 in", -5.5 * FOOT), ("66 in", 5.5 * FOOT), ("5,5 ft", 5.5 * FOOT), ("1234.5", 1234.5),
    ],
)  # fmt: skip
def test_lengths_as_they_are_written(text: str, metres: float) -> None:
    assert typed.length(text) == pytest.approx(metres, rel=1e-12)


def test_a_bare_length_is_in_the_unit_that_is_shown() -> None:
    assert typed.length("16", feet=True) == pytest.approx(16 * FOOT)
    assert typed.length("16 m", feet=True) == 16.0


@pytest.mark.parametrize(
    "text",
    ["", "x", "1,234", "12,345 m", "1.5.2", "1,5,2", "1.234,5", "1,234.5", "5 6", "5 ft 14 in", "5 ft -6 in",
     "6 in 5 ft", "1 2 3", "5 lb", "1e400", "9" * 200, "nan", "inf"],
)  # fmt: skip
def test_what_is_no_length_or_could_be_two_is_refused(text: str) -> None:
    with pytest.raises(InputError):
        typed.length(text)


@pytest.mark.parametrize("text", ["1,500 W", "10,000 W", "1,500", "1.000,5 W"])
def test_a_comma_between_thousands_is_never_a_decimal_one(text: str) -> None:
    # A thousand times too low could burn somebody.
    with pytest.raises(InputError):
        typed.quantity(text, "power")


def test_a_decimal_comma_in_a_quantity() -> None:
    assert typed.quantity("2,5 kW", "power") == 2500.0
    assert typed.quantity("98,1 MHz", "frequency") == typed.quantity("98.1 MHz", "frequency")
    assert typed.quantity("0,125 W", "power") == 0.125


@pytest.mark.parametrize("language", [QLocale.Language.German, QLocale.Language.English])
@pytest.mark.parametrize("text", ["1.5", "1,5"])
def test_the_locale_changes_no_number(
    window: MainWindow, language: QLocale.Language, text: str
) -> None:
    before = QLocale()
    QLocale.setDefault(QLocale(language))
    try:
        controls = window.panel("controls")
        controls.where.setCurrentIndex(1)
        controls.where.activated.emit(1)
        for field, shown, got in (
            (controls.metres, "1.50 m", lambda: window.maps.scene.look.height.metres),
            (controls.azimuth, "1.5°", lambda: window.maps.scene.look.azimuth),
        ):
            field.selectAll()
            QTest.keyClicks(field, text)
            QTest.keyClick(field, Qt.Key.Key_Return)
            assert got() == 1.5
            assert field.text() == shown
    finally:
        QLocale.setDefault(before)


def test_feet_and_inches_in_the_height_field(window: MainWindow) -> None:
    controls = window.panel("controls")
    controls.where.setCurrentIndex(2)
    controls.where.activated.emit(2)
    controls.feet.click()
    for text in ("10' 6\"", "10.5", "3,2004 m"):
        controls.metres.selectAll()
        QTest.keyClicks(controls.metres, text)
        QTest.keyClick(controls.metres, Qt.Key.Key_Return)
        assert window.maps.scene.look.height.metres == pytest.approx(10.5 * FOOT, abs=1e-4)
        assert controls.metres.text() == "10.50 ft"
    QTest.keyClick(controls.metres, Qt.Key.Key_Up)
    assert window.maps.scene.look.height.metres == pytest.approx(11.0 * FOOT)


def test_a_refused_text_stays_marked_until_it_is_mended(window: MainWindow) -> None:
    field = window.panel("controls").azimuth
    field.selectAll()
    QTest.keyClicks(field, "ninety")
    QTest.keyClick(field, Qt.Key.Key_Return)
    assert field.text() == "ninety"
    assert field.is_refused
    assert "'ninety' is not a number" in field.toolTip()
    assert "ninety" in window.message.text()
    assert window.maps.scene.look.azimuth == 90.0
    field.selectAll()
    QTest.keyClicks(field, "400")
    QTest.keyClick(field, Qt.Key.Key_Return)
    assert "0 to 360" in window.message.text()
    field.selectAll()
    QTest.keyClicks(field, "45")
    QTest.keyClick(field, Qt.Key.Key_Return)
    assert not field.is_refused
    assert window.message.isHidden()
    assert window.maps.scene.look.azimuth == 45.0
    field.selectAll()
    QTest.keyClicks(field, "x")
    QTest.keyClick(field, Qt.Key.Key_Return)
    QTest.keyClick(field, Qt.Key.Key_Escape)
    assert field.text() == "45.0°"


def test_a_cell_can_be_edited_without_a_word_from_qt(
    window: MainWindow, capfd: pytest.CaptureFixture[str]
) -> None:
    assert window.open(ROOF)
    settle(window)
    table = window.panel("emitters")
    for text, wanted in (("0,5 kW", 500.0), ("x", 500.0), ("250 W", 250.0)):
        table.setCurrentCell(0, 4)
        table.editItem(table.item(0, 4))
        editor = table.findChild(QLineEdit)
        editor.selectAll()
        QTest.keyClicks(editor, text)
        QTest.keyClick(editor, Qt.Key.Key_Return)
        settle(window)
        assert window.document.site.antennas[0].carriers[0].power.transmitter == wanted
    assert "commitData" not in "".join(capfd.readouterr())


def test_an_empty_site_shows_the_settings_that_it_has(window: MainWindow) -> None:
    controls = window.panel("controls")

    def shown() -> tuple[object, ...]:
        return (
            controls.limits.currentData(),
            controls.reflection.currentData(),
            controls.estimate.currentData(),
        )

    before, site = shown(), window.document.site
    assert before == (site.limit_set, site.reflection.kind.value, site.conservative)
    window.document.add(isotropic("a", 98e6, 10.0))
    assert shown() == before
