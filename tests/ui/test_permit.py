"""Distilling and fermenting: the figures wait until the house says under which permit, once a book."""

from datetime import date

import pytest
from pytestqt.qtbot import QtBot

from costing.edits import house
from ui.desk import Desk
from ui.frame.permit import PermitNotice, needs_permit

DISTILLED, PLAIN = "pineapple-distillate", "lime-juice"


@pytest.fixture
def notice(desk: Desk, qtbot: QtBot) -> PermitNotice:
    desk.do(house.set_permit(desk.document.book, "", None))
    notice = PermitNotice(desk)
    qtbot.addWidget(notice)
    notice.show_for(DISTILLED)
    notice.show()
    return notice


def test_it_stands_only_before_what_is_distilled(notice: PermitNotice, desk: Desk) -> None:
    assert needs_permit(desk.document.reckoning, DISTILLED)
    assert not needs_permit(desk.document.reckoning, PLAIN)
    assert "licence" in notice.said.text()


def test_the_word_of_the_house_is_a_step_and_opens_all_of_them(notice: PermitNotice, desk: Desk) -> None:
    notice.permit.setText("works under one")
    notice.until.setText("2027-06-30")
    notice.enter.click()
    record = house.house_of(desk.document.book)
    assert (record.permit, record.permit_until) == ("works under one", date(2027, 6, 30))
    assert not any(needs_permit(desk.document.reckoning, p) for p in desk.document.view.preparations)
    desk.undo()
    assert needs_permit(desk.document.reckoning, DISTILLED)


@pytest.mark.parametrize(("permit", "until"), [("", ""), ("   ", "2027-06-30"), ("HOUSE-1", "01/02/2027")])
def test_what_is_left_out_or_cannot_be_read_is_said_and_kept(
    permit: str, until: str, notice: PermitNotice, desk: Desk
) -> None:
    before = desk.document.book
    notice.permit.setText(permit)
    notice.until.setText(until)
    notice.enter.click()
    assert notice.fault.text()
    assert (notice.permit.text(), notice.until.text()) == (permit, until)
    assert desk.document.book == before


def test_cost_goes_on_being_reckoned_under_the_notice(notice: PermitNotice, desk: Desk) -> None:
    assert desk.document.priced
    assert all(serve.cost is not None for serve in desk.document.priced[:1])
