//! What stands on a numbered sheet beside what every sheet has: the form code, what was drawn,
//! and tables for what only the day decides.

use super::leaf::{Leaf, Written};
use super::parts::{block, cell, column, heading, line, row, table};
use crate::course::{Outlet, Reading};
use crate::page::Node;
use crate::quantity::Quantity;
use crate::scoring::{DrawnSheet, Kit, Worked, day_tables, most_percent};

/// Rows of the tables of a numbered sheet with their headings; each takes the room of a number.
/// Two tables stand beside one another.
pub(super) fn table_rows(kit: &Kit) -> usize {
    let tables = kit.drill().drawn.iter().flat_map(|plan| &plan.tables);
    let rows =
        tables.map(|table| table.down.as_ref().map_or(1, |down| down.shares.len()) + 1);
    rows.sum::<usize>().div_ceil(2)
}

impl<'l> Leaf<'l> {
    pub(super) fn numbered(self) -> Option<&'l DrawnSheet> {
        match self.written {
            Written::Drawn(sheet) => Some(sheet),
            Written::Nothing | Written::Names(_) | Written::Run(..) => None,
        }
    }

    /// The form code at the head of every side.
    pub(super) fn form(self) -> Option<String> {
        let bench = self.bench;
        if let Some(sheet) = self.numbered() {
            let number = sheet.number.to_string();
            let blanks = [("code", sheet.code.as_str()), ("number", &number)];
            return Some(bench.say("form", &blanks));
        }
        let form = self.run()?.form.as_deref()?;
        Some(bench.say("form-of-run", &[("code", form)]))
    }

    /// The outlet of a numbered sheet.
    pub(super) fn drawn_outlet(self) -> Option<&'l Outlet> {
        self.kit.rig().outlet(self.numbered()?.outlet.as_deref()?)
    }

    /// Whether a reading is drawn on the drill's numbered sheets.
    fn is_drawn(self, reading: &Reading) -> bool {
        let plan = self.kit.drill().drawn.as_ref();
        plan.is_some_and(|plan| plan.readings.iter().any(|(id, _)| *id == reading.id))
    }

    /// The label of a reading: on a sheet without numbers it says that they are drawn.
    pub(super) fn reading_label(self, reading: &Reading) -> String {
        let blanks = [("label", reading.label.as_str()), ("unit", &reading.unit)];
        let bare = matches!(self.written, Written::Nothing | Written::Names(_));
        let drawn = self.is_drawn(reading);
        match (bare, drawn) {
            (true, true) => self.bench.say("reading-drawn", &blanks),
            _ => self.bench.say("reading", &blanks),
        }
    }

    /// What was drawn for the reading.
    pub(super) fn drawn_value(self, reading: &Reading) -> Option<Quantity> {
        self.numbered()?.readings.get(&reading.id).copied()
    }

    /// The order to be refused with what a refusal offers; on a blank, that it is drawn.
    pub(super) fn refused(self) -> Option<Node> {
        let bench = self.bench;
        let plan = self.kit.drill().drawn.as_ref()?.refused.as_ref()?;
        let label = plan.label.as_str();
        let Some(sheet) = self.numbered() else {
            let label = bench.say("refused-drawn", &[("label", label)]);
            return self.run().is_none().then(|| block([row([line(label, 4, "")])]));
        };
        let refused = sheet.refused.map(|value| value.printed()).unwrap_or_default();
        let mut lines = vec![line(label, 3, refused)];
        // Without a drawn outlet the offer is another for each line.
        if let Some(outlet) = self.drawn_outlet()
            && let Some(most) = most_percent(self.kit, outlet)
        {
            let flow = outlet.flow.printed();
            let blanks = [("outlet", outlet.title.as_str()), ("flow", &flow)];
            lines.push(line(bench.say("most-held", &blanks), 3, most.printed()));
        }
        Some(block([row(lines)]))
    }

    /// Tables for what the day decides; they stand on numbered sheets, because they are worked
    /// out for what was drawn.
    pub(super) fn tables(self) -> Option<Node> {
        // Columns are the flows of a line, so there must be one.
        let (sheet, outlet) = self.numbered().zip(self.drawn_outlet())?;
        let tables = day_tables(self.kit, &outlet.id, &sheet.readings);
        let tables = tables.into_iter().map(|worked| self.day_table(worked));
        let beside = Node::new("div").class("so-tables").holding(tables);
        (!beside.kids.is_empty()).then_some(beside)
    }

    fn day_table(self, worked: Worked) -> Node {
        let bench = self.bench;
        let first = if worked.down.is_empty() {
            worked.across
        } else {
            bench
                .say("down-across", &[("down", &worked.down), ("across", &worked.across)])
        };
        let head = [column("so-act", first)];
        let columns = worked.columns.into_iter().map(|text| column("so-note", text));
        let rows = worked.rows.into_iter().map(|(level, cells)| {
            let manual = || bench.get("manual");
            let cells = cells.into_iter().map(|text| text.unwrap_or_else(manual));
            let cells = cells.map(|text| cell("so-value", text));
            Node::new("tr").holding([cell("so-act", level)]).holding(cells)
        });
        let taken: Vec<String> = worked
            .taken
            .iter()
            .map(|(label, value)| {
                let blanks = [("label", label.as_str()), ("value", value.as_str())];
                bench.say("taken", &blanks)
            })
            .collect();
        let mut title = worked.label;
        if !taken.is_empty() {
            let taken = taken.join("; ");
            title = bench.say("table-taken", &[("label", &title), ("taken", &taken)]);
        }
        block([
            heading(title),
            table("so-marks so-day", head.into_iter().chain(columns), rows),
        ])
    }
}
