"""Which batch ``--times`` and ``--batch`` mean."""

from datetime import date

from costing.book.book import Book
from costing.book.records import BatchLog
from costing.ledger import Reckoning
from costing.ledger.batches import Batch, as_made
from costing.ledger.order import owner
from costing.ledger.scale import scaled
from costing.terminal.base import Args, Mistake, find


def batch_of(args: Args, reckoning: Reckoning, ident: str) -> tuple[Batch | None, str]:
    """The batch that was asked for, and what to say of it; None and "" for the standard one."""
    if args.times is None and args.batch is None:
        return None, ""
    made = owner(ident)
    if made not in reckoning.ledgers:
        raise Mistake(f"{ident} is not a preparation that can be followed: --times and --batch need one")
    if args.times is not None:
        return scaled(reckoning, made, args.times), f"{args.times} times the size"
    log = log_of(reckoning.view.book, made, args.batch)
    return as_made(reckoning, log), f"batch {log.id} of {log.day} as it was made ({log.state})"


def log_of(book: Book, preparation: str, wanted: str) -> BatchLog:
    """The log of a preparation by its id. Mistake where there is none."""
    logs = {log.id: log for log in book.all(BatchLog).values() if log.preparation == preparation}
    if not logs:
        raise Mistake(f"no batch of {preparation} is logged")
    return logs[find(((i, i) for i in logs), wanted, "batch")]


def day_of_batch(args: Args, book: Book, preparation: str) -> date | None:
    """The day a logged batch was made, for whoever asked for it without a day."""
    if args.batch is None or args.day is not None:
        return None
    return log_of(book, preparation, args.batch).day
