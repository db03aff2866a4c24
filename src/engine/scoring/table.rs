//! Small tables for what only the day decides: a value worked out ahead, across the flows of
//! the line and down the levels of a tank (rule 41).

use std::borrow::Cow;
use std::collections::BTreeMap;

use super::expected::{Day, Expected, Readings, size_in, value_in};
use super::kit::Kit;
use super::no_value::NoValue;
use super::tanks::tanks;
use crate::course::{
    Bind, DayTable, Edge, Expect, Figures, Levels, Measure, Names, Outlet, Reading, Tank,
    bound,
};
use crate::quantity::{Direction, Fraction, Number, Quantity, find, show};

/// A table, ready to be printed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Worked {
    /// What it shows.
    pub label: String,
    /// Label of the reading that makes the columns.
    pub across: String,
    /// Its values.
    pub columns: Vec<String>,
    /// Label of the reading that makes the rows; empty where there is one row.
    pub down: String,
    /// The level of each row, and its cells; one without a value is the manual's (rule 20).
    pub rows: Vec<(String, Vec<Option<String>>)>,
    /// What the other readings are taken to be: label and value.
    pub taken: Vec<(String, String)>,
}

/// The tables of a drill for an outlet, with what was drawn.
pub fn day_tables(kit: &Kit, outlet: &str, drawn: &Readings) -> Vec<Worked> {
    let tables = kit.drill().drawn.iter().flat_map(|plan| &plan.tables);
    let Some(outlet) = kit.rig().outlet(outlet) else { return Vec::new() };
    let each = |table| {
        let mut of = of_tanks(kit, table);
        of.drain(..)
            .filter_map(|(kit, tank)| {
                let mut made = worked(&kit, table, outlet, drawn)?;
                if let Some(tank) = tank {
                    let blanks = [("label", made.label.as_str()), ("tank", &tank.title)];
                    made.label = kit.words().say("scoring.table-of-tank", &blanks);
                }
                Some(made)
            })
            .collect::<Vec<_>>()
    };
    tables.flat_map(each).collect()
}

/// A table that rests on the volume of a foam tank is made for each of the tanks from which a run
/// may draw, where they are not alike.
fn of_tanks<'k>(kit: &'k Kit, table: &DayTable) -> Vec<(Cow<'k, Kit>, Option<&'k Tank>)> {
    let of = table.down.iter().map(|levels| &levels.of);
    let mut binds = of.chain(table.with.values());
    let rests = |bind: &Bind| matches!(bind, Bind::Rig(name) if name.starts_with("foam"));
    let tanks = if binds.any(rests) { tanks(kit) } else { Vec::new() };
    if tanks.is_empty() {
        return vec![(Cow::Borrowed(kit), None)];
    }
    let on = |tank: &'k Tank| {
        let mut kit = Cow::Borrowed(kit);
        kit.to_mut().draws_from(&tank.id);
        (kit, Some(tank))
    };
    tanks.into_iter().map(on).collect()
}

/// Why a table has no value at all on an outlet; nothing where it has one.
pub fn empty_table(
    kit: &Kit,
    table: &DayTable,
    outlet: &str,
    drawn: &Readings,
) -> Option<NoValue> {
    let outlet = kit.rig().outlet(outlet)?;
    let of = of_tanks(kit, table).into_iter().next();
    let own = of.map_or(Cow::Borrowed(kit), |(kit, _)| kit);
    let kit = own.as_ref();
    let Some(measure) = measure(kit, table) else { return Some(NoValue::Unit) };
    let readings = taken(kit, table, &kit.figures(&outlet.id), drawn);
    let levels = levels(kit, table, &kit.figures(&outlet.id));
    let level = levels.first().copied().flatten();
    if table.down.is_some() && level.is_none() {
        return Some(NoValue::Unit);
    }
    cell(kit, table, (&measure, outlet), (&outlet.flow, level), &readings).err()
}

/// The measured value with the answer that the table shows.
fn measure(kit: &Kit, table: &DayTable) -> Option<Measure> {
    let mut of = kit.drill().measures.iter();
    let mut measure = of.find(|one| one.id == table.measure)?.clone();
    if let (Expect::Formula(feed), Some(answer)) = (&mut measure.expect, &table.answer) {
        feed.answer = Some(answer.clone());
    }
    Some(measure)
}

fn reading<'k>(kit: &'k Kit, id: &str) -> Option<&'k Reading> {
    kit.drill().readings.iter().find(|one| one.id == id)
}

/// No name but those of the rig can stand in a table: the day is what it is made for.
struct NoDay;

impl Names for NoDay {
    fn number(&self, _: &str) -> Option<Quantity> {
        None
    }

    fn word(&self, _: &str) -> Option<String> {
        None
    }
}

/// What was drawn, and what the table takes the other readings to be.
fn taken(kit: &Kit, table: &DayTable, figures: &Figures, drawn: &Readings) -> Readings {
    let mut all = drawn.clone();
    for (id, bind) in &table.with {
        let value = reading(kit, id).and_then(|_| bound(bind, figures, &NoDay).ok());
        all.extend(value.map(|value| (id.clone(), value)));
    }
    all
}

/// The levels of the rows; one of none where the table has one row.
fn levels(kit: &Kit, table: &DayTable, figures: &Figures) -> Vec<Option<Quantity>> {
    let Some(Levels { reading: id, of, shares }) = &table.down else { return vec![None] };
    let (Some(reading), Ok(whole)) = (reading(kit, id), bound(of, figures, &NoDay))
    else {
        return Vec::new();
    };
    let level = |share: &Quantity| {
        let unit = find(&reading.unit)?;
        let whole = value_in(&whole, unit)?;
        let share = share.number().mul(share.unit().factor())?;
        Some(Quantity::new(whole.mul(share)?, unit))
    };
    shares.iter().filter_map(level).map(Some).collect()
}

fn worked(
    kit: &Kit,
    table: &DayTable,
    outlet: &Outlet,
    drawn: &Readings,
) -> Option<Worked> {
    let measure = measure(kit, table)?;
    let figures = kit.figures(&outlet.id);
    let readings = taken(kit, table, &figures, drawn);
    let across = reading(kit, table.across.first()?)?;
    let unit = find(&across.unit)?;
    let flows = flows(outlet);
    let column = |flow: &Quantity| flow.in_unit(unit).unwrap_or(*flow).printed();
    let row = |level: Option<Quantity>| {
        let cells = flows.iter().map(|flow| {
            let of = (&measure, outlet);
            let expected = cell(kit, table, of, (flow, level), &readings);
            expected.ok().map(|expected| deciding(&measure, &expected))
        });
        let cells = cells.collect();
        (level.map(|level| level.printed()).unwrap_or_default(), cells)
    };
    let label = |id: &str| reading(kit, id).map(|one| one.label.clone());
    let shown = |id: &String| {
        let value: Option<&Quantity> = readings.get(id);
        Some((label(id)?, value?.printed()))
    };
    // A tank that the answer does not ask for need not be told.
    let plain = |bind: &Bind| matches!(bind, Bind::Value(_));
    let told = table.with.iter().filter(|(_, bind)| plain(bind)).map(|(id, _)| id);
    Some(Worked {
        label: table.label.clone(),
        across: across.label.clone(),
        columns: flows.iter().map(column).collect(),
        down: table.down.as_ref().and_then(|of| label(&of.reading)).unwrap_or_default(),
        rows: levels(kit, table, &figures).into_iter().map(row).collect(),
        taken: told.filter_map(shown).collect(),
    })
}

/// Least, rated and most flow of the line, as far as its card has them.
fn flows(outlet: &Outlet) -> Vec<Quantity> {
    let mut flows = vec![outlet.flow];
    let other = |flow: &Option<Quantity>, flows: &[Quantity]| {
        flow.filter(|flow| {
            flows.iter().all(|one| !one.base().compare(flow.base()).is_eq())
        })
    };
    if let Some(least) = other(&outlet.least_flow, &flows) {
        flows.insert(0, least);
    }
    flows.extend(other(&outlet.most_flow, &flows));
    flows
}

fn cell(
    kit: &Kit,
    table: &DayTable,
    (measure, outlet): (&Measure, &Outlet),
    (flow, level): (&Quantity, Option<Quantity>),
    taken: &Readings,
) -> Result<Expected, NoValue> {
    let mut readings: Readings = taken.clone();
    let flows = table.across.iter().map(|id| (id.clone(), *flow));
    readings.extend(flows.collect::<BTreeMap<_, _>>());
    if let Some((levels, level)) = table.down.as_ref().zip(level) {
        readings.insert(levels.reading.clone(), level);
    }
    let figures = kit.figures(&outlet.id);
    Day::of(kit, figures, (&readings, None)).expected(measure)
}

/// The value as it decides: the largest accepted one, rounded down, where nothing above is
/// accepted; the least, rounded up, where nothing below is; else the value itself. So nobody is
/// told more minutes or less seconds than there are.
fn deciding(measure: &Measure, expected: &Expected) -> String {
    let none =
        |edge: &Edge| matches!(edge, Edge::Absolute(away) if away.number().signum() == 0);
    let tolerance = &measure.tolerance;
    let direction = match (none(&tolerance.below), none(&tolerance.above)) {
        (_, true) => Direction::Down,
        (true, false) => Direction::Up,
        (false, false) => return expected.text.clone(),
    };
    let rounded = || {
        let unit = find(&measure.unit)?;
        let step: Fraction = size_in(&measure.resolution, unit)?;
        let shown = show(Number::Exact(expected.value), step, direction)?;
        Some(shown.with_unit(unit.symbol))
    };
    rounded().unwrap_or_else(|| expected.text.clone())
}
