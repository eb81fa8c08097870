"""The pages of a PDF as they will be saved: the very bytes, drawn by pdfium."""

from typing import Any

from PySide6.QtCore import QCoreApplication, QPoint, QRect, QSize, Qt, Signal
from PySide6.QtGui import (
    QContextMenuEvent,
    QGuiApplication,
    QImage,
    QKeyEvent,
    QPainter,
    QPaintEvent,
    QPen,
    QResizeEvent,
)
from PySide6.QtWidgets import QHBoxLayout, QLabel, QScrollArea, QSizePolicy, QToolButton, QWidget

from costing.tongue import say
from ui.theme import role_colour
from ui.widgets.acts import acts, offer_acts

GAP = 12
"""Pixels between pages."""
SMALLEST, LARGEST = 0.25, 4.0
KEPT = 6
"""Pages that are kept drawn: a page at the largest size takes 30 MB."""


class _Held:
    """An open PDF, closed with the widget that shows it or before the program ends, whichever comes first: pdfium
    complains of what is left open."""

    def __init__(self) -> None:
        self.pdf: Any = None

    def close(self, *_: object) -> None:
        """Let go of it."""
        if self.pdf is not None:
            self.pdf.close()
            self.pdf = None


class Pages(QWidget):
    """All pages under one another; each is drawn when it comes into sight."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._held = _Held()
        self.destroyed.connect(self._held.close)
        app = QCoreApplication.instance()
        if app is not None:
            app.aboutToQuit.connect(self._held.close)
        self._sizes: list[tuple[float, float]] = []
        self._scale = 1.0
        self._drawn: dict[int, QImage] = {}

    def load(self, data: bytes) -> None:
        """Show a PDF. ValueError for bytes that are none."""
        import pypdfium2  # noqa: PLC0415  only a preview needs it

        try:
            pdf = pypdfium2.PdfDocument(data)
        except pypdfium2.PdfiumError as error:
            raise ValueError(f"these bytes are no PDF: {error}") from None
        self.clear()
        self._held.pdf = pdf
        self._sizes = [pdf.get_page_size(n) for n in range(len(pdf))]
        self._fit()

    def clear(self) -> None:
        """Show nothing."""
        self._held.close()
        self._sizes = []
        self._drawn.clear()
        self._fit()

    @property
    def count(self) -> int:
        """Pages."""
        return len(self._sizes)

    def text_of(self, page: int) -> str:
        """The text of a page, for a reader who does not see it."""
        if not 0 <= page < self.count:
            return ""
        found = self._held.pdf[page].get_textpage()
        try:
            return str(found.get_text_range())
        finally:
            found.close()

    def widest(self) -> float:
        """Points across the widest page."""
        return max((wide for wide, _ in self._sizes), default=595.0)

    def set_scale(self, scale: float) -> None:
        """Pixels a point."""
        self._scale = min(LARGEST, max(SMALLEST, scale))
        self._drawn.clear()
        self._fit()

    @property
    def scale(self) -> float:
        """Pixels a point."""
        return self._scale

    def _fit(self) -> None:
        self.setMinimumSize(self.sizeHint())
        self.resize(self.sizeHint())
        self.update()

    def sizeHint(self) -> QSize:
        """Room for all pages."""
        tall = sum(int(h * self._scale) + GAP for _, h in self._sizes) + GAP
        return QSize(int(self.widest() * self._scale) + 2 * GAP, tall)

    def page_rect(self, page: int) -> QRect:
        """Where a page stands."""
        top = GAP + sum(int(h * self._scale) + GAP for _, h in self._sizes[:page])
        wide, tall = (int(v * self._scale) for v in self._sizes[page])
        return QRect((self.width() - wide) // 2, top, wide, tall)

    def page_image(self, page: int, scale: float) -> QImage:
        """A page as a picture, ``scale`` pixels a point."""
        bitmap = self._held.pdf[page].render(scale=scale, rev_byteorder=True, prefer_bgrx=True)
        data = bytes(bitmap.buffer)
        image = QImage(data, bitmap.width, bitmap.height, bitmap.stride, QImage.Format.Format_RGBX8888)
        copied = image.copy()  # the picture must not outlive the bytes it was made of
        bitmap.close()
        return copied

    def paintEvent(self, event: QPaintEvent) -> None:
        """The pages in sight."""
        painter = QPainter(self)
        ratio = self.devicePixelRatioF()
        for page in range(self.count):
            rect = self.page_rect(page)
            if not rect.intersects(event.rect()):
                continue
            if page not in self._drawn:
                image = self.page_image(page, self._scale * ratio)
                image.setDevicePixelRatio(ratio)
                self._drawn[page] = image
                while len(self._drawn) > KEPT:
                    del self._drawn[next(iter(self._drawn))]
            painter.drawImage(rect.topLeft(), self._drawn[page])
            painter.setPen(QPen(role_colour("edge"), 1))
            painter.drawRect(rect)
        painter.end()


class Preview(QScrollArea):
    """Pages with their zoom: Ctrl + and -, Ctrl 0 for the width; Page Up and Down, Home and End. Ctrl+C copies the text
    of the page in sight."""

    looked = Signal()
    """Another page, or another size."""

    def __init__(self, name: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._name, self._wide = name, True
        self.pages = Pages(self)
        self.setWidget(self.pages)
        self.setAlignment(Qt.AlignmentFlag.AlignHCenter)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setAccessibleName(name)
        acts(
            self,
            [
                (say("Larger"), "Ctrl++", self.larger),
                (say("Smaller"), "Ctrl+-", self.smaller),
                (say("Fit the width"), "Ctrl+0", self.fit_width),
                (say("Copy the text of the page"), "Ctrl+C", self.copy_text),
            ],
        )
        self.verticalScrollBar().valueChanged.connect(self._scrolled)

    def contextMenuEvent(self, event: QContextMenuEvent) -> None:
        """What can be done here."""
        offer_acts(self, event)

    def show_pdf(self, data: bytes) -> None:
        """Show these bytes from their first page."""
        self.pages.load(data)
        if self._wide:
            self.fit_width()
        self.verticalScrollBar().setValue(0)
        self._scrolled()

    def clear(self) -> None:
        """Show nothing."""
        self.pages.clear()
        self._scrolled()

    def _scrolled(self, *_: object) -> None:
        """Say where one is, and what the page says, to those who do not see it."""
        page = self.page_in_sight()
        self.setAccessibleDescription(
            say("Page {page} of {n}: {text}", page=page + 1, n=self.pages.count, text=self.pages.text_of(page)[:2000])
            if self.pages.count
            else ""
        )
        self.looked.emit()

    def copy_text(self) -> None:
        """The text of the page in sight, as the file holds it."""
        QGuiApplication.clipboard().setText(self.pages.text_of(self.page_in_sight()))

    def larger(self) -> None:
        """Larger pages."""
        self._zoom(1.2)

    def smaller(self) -> None:
        """Smaller ones."""
        self._zoom(1 / 1.2)

    def _zoom(self, times: float) -> None:
        """Another size, with the same place at the top."""
        bar = self.verticalScrollBar()
        share = bar.value() / max(1, self.pages.height())
        self._wide = False
        self.pages.set_scale(self.pages.scale * times)
        bar.setValue(round(share * self.pages.height()))
        self.looked.emit()

    def fit_width(self) -> None:
        """As wide as there is room."""
        self._wide = True
        room = self.viewport().width() - 2 * GAP - self.verticalScrollBar().sizeHint().width()
        self.pages.set_scale(room / self.pages.widest())
        self.looked.emit()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Keep the width fitted."""
        super().resizeEvent(event)
        if self._wide and self.pages.count:
            self.fit_width()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Home and End go to the first and the last page."""
        bar = self.verticalScrollBar()
        if event.key() == Qt.Key.Key_Home:
            bar.setValue(0)
        elif event.key() == Qt.Key.Key_End:
            bar.setValue(bar.maximum())
        else:
            super().keyPressEvent(event)

    def page_in_sight(self) -> int:
        """The page at the top of what is seen."""
        top = self.pages.mapFrom(self.viewport(), QPoint(0, 0)).y() + GAP
        return next((n for n in range(self.pages.count) if self.pages.page_rect(n).bottom() >= top), 0)


class PreviewBar(QWidget):
    """Which page of how many, how large, and the ways to another size by mouse."""

    def __init__(self, preview: Preview, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.preview = preview
        self.where = QLabel(self)
        self.where.setProperty("faint", True)
        self.where.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Preferred)
        layout = QHBoxLayout(self)
        layout.setContentsMargins(4, 0, 4, 0)
        layout.addWidget(self.where, 1)
        self.buttons: list[QToolButton] = []
        for action, text in zip(preview.actions(), ("+", "\u2212", say("Width")), strict=False):
            button = QToolButton(self)
            button.setText(text)
            button.setAccessibleName(action.text())
            button.setToolTip(say("{what} ({keys})", what=action.text(), keys=action.shortcut().toString()))
            button.setMinimumHeight(26)
            button.clicked.connect(action.trigger)
            layout.addWidget(button)
            self.buttons.append(button)
        preview.looked.connect(self._said)
        self._said()

    def _said(self) -> None:
        pages, page = self.preview.pages, self.preview.page_in_sight()
        self.where.setText(
            say("Page {page} of {n}, {size} %", page=page + 1, n=pages.count, size=round(100 * pages.scale))
            if pages.count
            else ""
        )
