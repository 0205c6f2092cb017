//! What belongs together, as questions to the database that nothing should answer.

use rusqlite::Connection;

use super::{Checked, RESTORE, written};
use crate::register::RegisterError;

/// A question: the kind of problem, where it is as the first column, and what is wrong with it.
struct Rule(&'static str, &'static str, &'static str);

const RULES: [Rule; 26] = [
    Rule(
        "item-bin",
        "SELECT coalesce(item.payload, '#' || item.id) FROM item LEFT JOIN bin ON bin.id = item.bin
         WHERE item.bin IS NOT NULL AND (bin.id IS NULL OR bin.state <> 'live' OR bin.retired IS NOT NULL)",
        "it is in a bin that is not there",
    ),
    Rule(
        "item-state",
        "SELECT coalesce(payload, '#' || id) FROM item
         WHERE (bin IS NOT NULL) <> (state IN ('held', 'listed', 'sold'))
            OR payload IS NULL AND state NOT IN ('waiting', 'gone', 'undone') OR payload IS NOT NULL AND state = 'waiting'
            OR state NOT IN ('waiting', 'held', 'listed', 'sold', 'picked', 'gone', 'undone')
            OR state = 'listed' AND listed IS NULL OR (state = 'gone') <> (gone IS NOT NULL)",
        "its state does not fit its bin, its code or its dates",
    ),
    Rule(
        "sale-missing",
        "SELECT coalesce(payload, '#' || id) FROM item
         WHERE state IN ('sold', 'picked') AND NOT EXISTS (SELECT 1 FROM sale
            WHERE sale.item = item.id AND returned IS NULL AND (picked IS NOT NULL) = (item.state = 'picked'))",
        "it is sold, but there is no such sale",
    ),
    Rule(
        "sale-state",
        "SELECT coalesce(payload, '#' || item.id) FROM sale JOIN item ON item.id = sale.item
         WHERE returned IS NULL
           AND NOT (picked IS NULL AND state IN ('sold', 'gone') OR picked IS NOT NULL AND state = 'picked')",
        "there is a sale of it, but it is in another state",
    ),
    Rule(
        "sale-twice",
        "SELECT (SELECT coalesce(payload, '#' || id) FROM item WHERE item.id = sale.item) FROM sale
         WHERE returned IS NULL GROUP BY item HAVING count(*) > 1",
        "it is sold twice at the same time",
    ),
    Rule(
        "refund",
        "SELECT (SELECT coalesce(payload, '#' || id) FROM item WHERE item.id = sale.item) FROM sale
         WHERE price < (SELECT sum(amount) FROM refund WHERE refund.sale = sale.id)",
        "more was given back than was paid for it",
    ),
    Rule(
        "code-twice",
        "SELECT payload FROM item NOT INDEXED WHERE payload IS NOT NULL GROUP BY payload || '' HAVING count(*) > 1",
        "two items have this code",
    ),
    Rule(
        "code-name",
        "SELECT item.payload FROM item LEFT JOIN name ON name.payload = item.payload
         WHERE item.payload IS NOT NULL AND (name.item IS NOT item.id OR name.old IS NOT NULL)",
        "an item has this code, but the register does not find it by it",
    ),
    Rule(
        "listing-code",
        "SELECT item.payload FROM item LEFT JOIN name ON name.payload = item.listing_code
         WHERE item.listing_code IS NOT NULL AND (name.item IS NOT item.id OR name.old IS NOT NULL)",
        "its listing shows a code that is not known to be its own",
    ),
    Rule(
        "code-name",
        "SELECT bin.payload FROM bin LEFT JOIN name ON name.payload = bin.payload
         WHERE name.bin IS NOT bin.id OR name.old IS NOT NULL",
        "a bin has this code, but the register does not find it by it",
    ),
    Rule(
        "bin-state",
        "SELECT payload FROM bin WHERE state NOT IN ('live', 'undone') OR state = 'undone' AND spot IS NOT NULL
            OR stack <= 0",
        "its state or its place does not make sense",
    ),
    Rule(
        "bin-retired",
        "SELECT payload FROM bin WHERE retired IS NOT NULL AND (date(retired) IS NOT retired OR spot IS NOT NULL
            OR stack IS NOT NULL OR EXISTS (SELECT 1 FROM item WHERE item.bin = bin.id))",
        "it is retired, but has items or a spot, or the day is not in the calendar",
    ),
    Rule(
        "bin-spot",
        "SELECT bin.payload FROM bin JOIN spot ON spot.id = bin.spot WHERE spot.area <> bin.area",
        "it stands at a spot of another area",
    ),
    Rule(
        "rank",
        "SELECT bin.payload FROM bin JOIN area ON area.number = bin.area WHERE bin.rank >= area.next_rank",
        "the next bin of the area would get letters that were given already",
    ),
    Rule(
        "label-code",
        "SELECT 'run ' || run || ', label ' || number FROM label LEFT JOIN name ON name.payload = label.payload
         WHERE label.item IS NOT NULL AND name.item IS NOT label.item OR label.bin IS NOT NULL AND name.bin IS NOT label.bin",
        "its code stands for something else, or for nothing",
    ),
    Rule(
        "label-run",
        "SELECT 'run ' || run || ', label ' || number FROM label LEFT JOIN run ON run.id = label.run WHERE run.id IS NULL",
        "it belongs to a run that is not there",
    ),
    Rule(
        "amount",
        "SELECT 'sale ' || id FROM sale WHERE price < 0 OR fees < 0 OR postage < 0
         UNION ALL SELECT 'refund ' || id FROM refund WHERE amount < 0 OR postage < 0
         UNION ALL SELECT 'expense ' || id FROM expense WHERE amount < 0",
        "an amount is negative",
    ),
    Rule(
        "count",
        "SELECT 'tally ' || id FROM tally WHERE present < 0 OR missing < 0 OR misplaced < 0 OR unknown < 0
         UNION ALL SELECT 'import ' || id FROM import WHERE items < 0",
        "a number of items is negative",
    ),
    Rule(
        "day",
        "SELECT 'sale ' || id FROM sale WHERE date(day) IS NOT day OR date(listed) IS NOT listed
            OR date(picked) IS NOT picked OR date(returned) IS NOT returned
         UNION ALL SELECT 'refund ' || id FROM refund WHERE date(day) IS NOT day
         UNION ALL SELECT 'expense ' || id FROM expense WHERE date(day) IS NOT day
         UNION ALL SELECT 'tally ' || id FROM tally WHERE date(day) IS NOT day",
        "a day is not in the calendar",
    ),
    Rule(
        "undo-mark",
        "SELECT 'change ' || id FROM change AS own
         WHERE undone_by IS NOT NULL AND NOT EXISTS (SELECT 1 FROM change WHERE id = own.undone_by AND undoes = own.id)
            OR undoes IS NOT NULL AND undone_by IS NULL
               AND NOT EXISTS (SELECT 1 FROM change WHERE id = own.undoes AND undone_by = own.id)",
        "what it took back and what took it back do not agree",
    ),
    Rule(
        "change-empty",
        "SELECT 'change ' || id FROM change WHERE NOT EXISTS (SELECT 1 FROM journal
            WHERE journal.id = change.first_row AND journal.change = change.id)",
        "the journal does not tell what it changed",
    ),
    Rule(
        "journal-change",
        "SELECT 'journal ' || journal.id FROM journal LEFT JOIN change ON change.id = journal.change
         WHERE journal.change IS NOT NULL AND change.id IS NULL OR journal.change IS NOT NULL AND subject IS NULL",
        "it belongs to no change, or does not tell which row changed",
    ),
    Rule(
        "regroup-twice",
        "SELECT 'regroup ' || id FROM regroup WHERE state = 'open' AND (SELECT count(*) FROM regroup WHERE state = 'open') > 1",
        "more than one plan of moves is open",
    ),
    Rule(
        "regroup-state",
        "SELECT 'regroup ' || id FROM regroup WHERE state NOT IN ('open', 'done', 'dropped')
            OR state <> 'dropped' AND (state = 'open') <> EXISTS (SELECT 1 FROM regroup_move
                WHERE regroup = regroup.id AND regroup_move.state IN ('open', 'taken'))",
        "its state does not fit what is left of it to do",
    ),
    Rule(
        "regroup-move",
        "SELECT 'regroup_move ' || own.id FROM regroup_move AS own LEFT JOIN regroup ON regroup.id = own.regroup
            LEFT JOIN item ON item.id = own.item LEFT JOIN bin AS source ON source.id = own.source
            LEFT JOIN bin AS target ON target.id = own.target
         WHERE regroup.id IS NULL OR item.id IS NULL OR source.id IS NULL OR target.id IS NULL
            OR own.source = own.target OR own.put_on < own.taken_on
            OR own.state NOT IN ('open', 'taken', 'done', 'missing', 'void')",
        "it belongs to no plan, or does not tell what goes where",
    ),
    Rule(
        "run-state",
        "SELECT 'run ' || id FROM run WHERE state NOT IN ('writing', 'done', 'cancelled') OR pages < 0
            OR (state = 'cancelled') <> (cancelled_at IS NOT NULL)",
        "its state does not make sense",
    ),
];

/// Asks all of them; one that can't be answered does not keep the others from being asked.
pub(super) fn check(connection: &Connection, found: &mut Checked) {
    for rule in &RULES {
        let outcome = ask(connection, rule, found);
        found.attempt(rule.0, outcome);
    }
}

fn ask(connection: &Connection, Rule(kind, sql, what): &Rule, found: &mut Checked) -> Result<(), RegisterError> {
    let mut query = connection.prepare(sql)?;
    for at in query.query_map([], |row| row.get::<_, Option<String>>(0))? {
        found.add(kind, written(&at?.unwrap_or_default()), *what, RESTORE);
    }
    Ok(())
}
