"""The entry point: nouns, each loaded when it is first used."""

from difflib import get_close_matches
from importlib import import_module

import click

from .saying import cleaned

NOUNS = {
    "bags": "Check bags by weight, by count, by eye.",
    "bench": "Check and pack at the bench with scanner and scale.",
    "bins": "Add, change, retire a bin; count what lies in it, say when it lacks pieces.",
    "catalogue": "Bring parts, bins, room, scales, bags, boxes, services in; write them out.",
    "claims": "Take claims down, answer them, take pieces back.",
    "customs": "Declare goods to customs, enter SDR rates, record reviews.",
    "day": "Say what is next, report, reconcile and close the day.",
    "demo": "Run one whole day of the invented demo shop.",
    "doctor": "Look at what the shop stands on, or read a fault's report.",
    "goods": "Count goods that come in by weight, book them.",
    "journal": "Read who did what, when.",
    "kits": "Bring kits in, show them, print their labels.",
    "manifests": "Close and print the list handed to a service.",
    "orders": "Bring orders in, key, show, change, hold, cancel them.",
    "packages": "Choose boxes, weigh and seal packages.",
    "papers": "Show papers as pictures or text, print samples and bin labels.",
    "parts": "Add, change, retire, show a part; learn its unit weight, print its card.",
    "printers": "Say which printers there are and which papers go to them.",
    "people": "Say who works here and may do what: badge, PIN, roles.",
    "scales": "Add, change, test scales; show what they can count.",
    "services": "Add, change, quote services; take in ranges and carriers' bills.",
    "settings": "Say once what needn't be typed here: the shop, who you are, where papers go.",
    "room": "Check and draw the room; what is visited, what should move.",
    "shop": "Make a shop, guide its first evening, say what is missing, bring it up to this release.",
    "shorts": "List what can't be had, make or buy it, book it in.",
    "stations": "Set up tablets at benches, carts, desks and walls; open their pages.",
    "stock": "Adjust, watch, move, replenish the stock, write it out.",
    "walks": "Plan, prove and release the walks of the day.",
}


FILES = {
    "bags": ("bench.bags",),
    "bench": ("bench.bench",),
    "bins": ("stock.bins", "stock.bin_changing"),
    "catalogue": ("stock.catalogue",),
    "claims": ("despatch.claims",),
    "customs": ("despatch.customs",),
    "goods": ("stock.goods",),
    "kits": ("orders.kits",),
    "manifests": ("despatch.manifests",),
    "orders": (
        "orders.orders",
        "orders.order_changing",
        "orders.order_files",
        "orders.order_keying",
        "orders.order_showing",
    ),
    "packages": ("despatch.packages",),
    "parts": ("stock.parts", "stock.part_changing"),
    "room": ("walks.room",),
    "scales": ("scales.scales", "scales.scale_changing", "scales.scale_relay"),
    "services": ("despatch.services", "despatch.service_changing", "despatch.bills"),
    "shorts": ("stock.shorts",),
    "stock": ("stock.stock", "stock.replenishing"),
    "walks": ("walks.walks", "walks.walk_times"),
}
"""Where a noun's group stands, and the files that add verbs to it; a noun that isn't named stands beside this file."""


class Nouns(click.Group):
    """The nouns of the command line; a noun's files are imported when it is asked for."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        """All nouns, sorted."""
        return sorted(NOUNS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        """The noun's commands."""
        if cmd_name not in NOUNS:
            return None
        first, *more = FILES.get(cmd_name, (cmd_name,))
        found: click.Command = getattr(import_module(f"{__package__}.{first}"), cmd_name)
        for file in more:
            import_module(f"{__package__}.{file}")
        return found

    def parse_args(self, ctx: click.Context, args: list[str]) -> list[str]:
        """As click does it; a word that no system can hand over, as a name of a file, is refused here at once."""
        for word in args:
            if any(one == "\0" or 0xD800 <= ord(one) < 0xDC80 or 0xDD00 <= ord(one) < 0xE000 for one in word):
                raise click.UsageError(f"Cannot read '{cleaned(word)}': expected text in UTF-8, without U+0000.", ctx)
        return super().parse_args(ctx, args)

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        """As click does it; a noun that isn't there is answered with those that are spelled like it."""
        if args[0] in NOUNS or args[0].startswith("-") or ctx.resilient_parsing:
            return super().resolve_command(ctx, args)
        near = get_close_matches(args[0], NOUNS, n=1)
        hint = f" Did you mean {near[0]}?" if near else ""
        raise click.UsageError(f"No such noun '{args[0]}'.{hint} All nouns: fulfil --help.", ctx)

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """The nouns with what they are for, without loading them."""
        with formatter.section("Nouns"):
            formatter.write_dl(sorted(NOUNS.items()))


@click.command(
    cls=Nouns,
    context_settings={"help_option_names": ["-h", "--help"]},
    epilog="Exit codes: 0 done, "
    "1 done but the shop must act, 2 wrong use, 3 the store can't be used, 4 a fault of the program, "
    "5 done but its paper is not printed. "
    "Example: fulfil demo --out demo-day",
)
@click.version_option(package_name="fulfil")
def main() -> None:
    """Order fulfilment for a small-parts component shop: walks, counting by weight, checking, shipping."""
