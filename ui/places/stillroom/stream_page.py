"""The stream of one preparation: money and liquid from packs through its stages into one batch."""

from PySide6.QtWidgets import QLabel, QVBoxLayout, QWidget

from costing.report.figures.shapes import Figure, Measure
from costing.report.figures.stream import stream_figure
from costing.report.streams import Stream, batch_stream
from costing.tongue import say
from ui.desk import Desk
from ui.frame.permit import needs_permit
from ui.widgets.picture import PictureView


class StreamPage(QWidget):
    """The picture, with its figures as a table for those who copy it."""

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.desk, self.preparation = desk, ""
        self.said = QLabel(self)
        self.said.setWordWrap(True)
        self.picture = PictureView(say("The stream into the batch"), self._figure, self, least=560.0)
        self.picture.set_table(self._table)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(6, 6, 6, 6)
        layout.addWidget(self.said)
        layout.addWidget(self.picture, 1)

    def show_preparation(self, ident: str) -> None:
        """Show a preparation."""
        self.preparation = ident
        document = self.desk.document
        barred = ident in document.view.preparations and needs_permit(document.reckoning, ident)
        self.picture.setVisible(not barred)
        if barred:
            self.said.setText(say("It is drawn once the house has said under which permit it works: see Stages."))
            return
        self.picture.refresh()
        figure = self.picture.figure
        self.said.setText(figure.said if figure else say("There is no stream while a stage cannot be worked out."))

    def _stream(self) -> Stream | None:
        figures = self.desk.document.figures
        if self.preparation not in figures.view.preparations:
            return None
        return batch_stream(figures.reckoning, self.preparation, figures.names)

    def _figure(self, wide: float, tall: float, measure: Measure) -> Figure | None:
        stream = self._stream()
        if stream is None:
            return None
        return stream_figure(stream, wide, max(200.0, tall - 4.0), measure, self.desk.format.money)

    def _table(self) -> list[list[str]]:
        stream = self._stream()
        if stream is None:
            return []
        names, money = {node.id: node.name for node in stream.nodes}, self.desk.format.money
        head = [say("From"), say("To"), say("Money"), say("Of which lost on the way")]
        return [head, *([names[k.source], names[k.target], money(k.money), money(k.lost)] for k in stream.links)]
