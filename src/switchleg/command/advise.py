"""`switchleg advise FILE`: a file of facts in, the verdict out, no screens."""

from __future__ import annotations

from argparse import Namespace

from switchleg.command.facts_file import read_facts

EXIT_CODES = {"recommended": 0, "needs_checks": 3, "stop": 4}
"""What a shell learns from the verdict's status."""


def run(args: Namespace) -> int:
    """Prints the card, or with --json the whole advice; the exit code follows the status."""
    from switchleg.advice.advise import advise
    from switchleg.command.shell import output
    from switchleg.knowledge.load import load

    knowledge = load()
    told = read_facts(args.file, knowledge)
    advice = advise(knowledge, told.facts, told.untold)
    if args.json:
        # ASCII JSON reads the same whatever the encoding of the pipe.
        import json

        from switchleg.advice.numbers.sheets import number_sheets
        from switchleg.command.figures.print_sheet import as_object

        chosen = advice.recommendation.scheme if advice.recommendation else None
        scheme = next((one for one in advice.schemes if one.id == chosen), None)
        sums = number_sheets(knowledge, told.facts, scheme, advice.motor_settled)
        region = str(told.facts.get("region", ""))
        said = advice.model_dump(mode="json") | {"numbers": [as_object(one, knowledge.sources, region) for one in sums]}
        output.put(json.dumps(said, ensure_ascii=True, indent=2))
    else:
        from switchleg.advice.card.build import build_card
        from switchleg.command.saved.card_text import card_text

        title = ", ".join(part for part in (told.name.strip(), told.home.strip()) if part)
        output.say(card_text(build_card(knowledge, told.facts, advice, title=title)))
    return EXIT_CODES[advice.status]
