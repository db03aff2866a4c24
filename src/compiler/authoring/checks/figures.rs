//! Figures of a rig's card against each other and against what is usual: what a pump operator
//! would read off a card that cannot be right, or that is not there.

use super::hose;
use super::rig::class_name;
use super::sense::limits;
use super::tanks::marks;
use super::values::{above, within};
use super::{Checked, Spot};
use crate::course::{
    Eductor, FoamClass, ForAir, LineUse, Meter, Outlet, PercentBasis, Rig, TankToPump,
};
use crate::findings::{Code, Finding};
use crate::quantity::{Day, Direction, Fraction, Quantity};

pub(super) fn check(checked: &Checked<'_>) {
    for rig in checked.course.rigs.values() {
        let spot = checked.sheet("rigs", &rig.id);
        whole(checked, rig, &spot);
        meter(checked, rig, &spot);
        capacities(checked, rig, &spot);
        second_water(checked, rig, &spot);
        for tank in &rig.tanks {
            let spot = spot.at("tanks").entry("tank", &tank.id);
            // From a trailer's tank to a tender's, and from a can to a foam tender's (common practice);
            // beyond lies a slip of the point.
            let water = ("20 gal", "12000 gal");
            let range =
                if tank.concentrate.is_none() { water } else { ("1 gal", "5000 gal") };
            usual(checked, &spot.at("nominal"), &tank.nominal, range);
            // Behind it, because a mark above a tank that is a slip itself is none.
            marks(checked, rig, tank, &spot);
        }
        for outlet in &rig.outlets {
            let spot = spot.at("outlets").entry("outlet", &outlet.id);
            hose::check(checked, outlet, &spot);
            line(checked, rig, outlet, &spot);
            air(checked, outlet, &spot);
        }
        all_air(checked, rig, &spot);
        relief(checked, rig, &spot);
        for eductor in &rig.eductors {
            let spot = spot.at("eductors").entry("eductor", &eductor.id);
            // Makers print the largest back pressure as 65 to 70 percent of the inlet pressure,
            // and rate their models at 100 to 200 psi (one maker's instruction, 2021).
            usual(
                checked,
                &spot.at("back-pressure"),
                &eductor.back_pressure,
                ("55 %", "70 %"),
            );
            usual(checked, &spot.at("inlet"), &eductor.inlet, ("100 psi", "250 psi"));
            // Pick-up hose is sold in lengths of 5 to 10 ft; a longer one draws less (common practice).
            if let Some(length) = &eductor.pick_up {
                usual(checked, &spot.at("pick-up"), length, ("3 ft", "10 ft"));
            }
            matched(checked, rig, eductor, &spot);
        }
    }
}

fn spot_of_line<'c>(checked: &Checked<'c>, rig: &Rig, outlet: &Outlet) -> Spot<'c> {
    let outlets = checked.sheet("rigs", &rig.id).at("outlets");
    outlets.entry("outlet", &outlet.id).at("flow")
}

/// Eductor and nozzle are of one flow, or the nozzle can be set to the eductor's (common practice).
fn matched(checked: &Checked<'_>, rig: &Rig, eductor: &Eductor, spot: &Spot<'_>) {
    let outlet = eductor.outlet.as_ref().and_then(|id| rig.outlet(id));
    let Some(outlet) = outlet else { return };
    let least = outlet.least_flow.unwrap_or(outlet.flow);
    let most = outlet.most_flow.unwrap_or(outlet.flow);
    let line = spot_of_line(checked, rig, outlet);
    if !within(&eductor.flow, &least, &most) && !checked.doubted(&line) {
        unusual(checked, &spot.at("flow"), &eductor.flow, (&least, &most));
    }
}

pub(super) fn figure(spot: &Spot<'_>, code: Code, key: bool) -> Finding {
    Finding::at(code, if key { spot.key() } else { spot.place() })
}

/// A figure outside what is usual: common practice, or the source beside the call.
pub(super) fn usual(
    checked: &Checked<'_>,
    spot: &Spot<'_>,
    value: &Quantity,
    (least, most): (&str, &str),
) {
    let ends = Quantity::read(least).ok().zip(Quantity::read(most).ok());
    if let Some((least, most)) = ends
        && !within(value, &least, &most)
    {
        unusual(checked, spot, value, (&least, &most));
    }
}

pub(super) fn unusual(
    checked: &Checked<'_>,
    spot: &Spot<'_>,
    value: &Quantity,
    (least, most): (&Quantity, &Quantity),
) {
    let finding = figure(spot, Code::FigureUnusual, false).with("found", value.printed());
    // In the unit that the author wrote it in, whatever the source's is; where that is one of the
    // other system, in the one that the module has instead.
    let system = checked.course.module.units;
    let instead =
        |bound: &Quantity| system.instead_of(bound.unit()).unwrap_or(bound.unit());
    let foreign = system.instead_of(value.unit()).is_some();
    let own = |bound: &Quantity, way| {
        let unit = if foreign { instead(bound) } else { value.unit() };
        bound.bound(unit, way).printed()
    };
    let finding = finding.with("least", own(least, Direction::Up));
    checked.note(finding.with("most", own(most, Direction::Down)));
}

pub(super) fn contradicts(
    checked: &Checked<'_>,
    spot: &Spot<'_>,
    found: String,
    other: String,
) {
    let finding = figure(spot, Code::FiguresContradict, false).with("found", found);
    checked.note(finding.with("other", other));
}

/// A value times a share.
pub(super) fn times(value: &Quantity, share: Fraction) -> Option<Quantity> {
    Some(Quantity::new(value.number().mul(share)?, value.unit()))
}

/// What stands once for the rig.
fn whole(checked: &Checked<'_>, rig: &Rig, spot: &Spot<'_>) {
    let open = |field: &str| {
        let finding = Finding::at(Code::FigureOpen, spot.at("rig").place());
        checked.note(finding.with("figure", field).with("rig", rig.title.clone()));
    };
    // A tower has no pump to say anything of.
    if rig.is_bare() {
        return;
    }
    let said = |field: &str| spot.at(field).node().is_some();
    if rig.tank_to_pump == TankToPump::NotKnown && !said("tank-to-pump") {
        open("tank-to-pump");
    }
    if rig.pump.is_none() && !said("pump") {
        open("pump");
    }
    if let Some(unit) = &rig.proportioner {
        let spot = spot.at("proportioner").at("rating").at("flow");
        usual(checked, &spot, &unit.rating.flow, ("0.5 gpm", "300 gpm"));
    }
    for (class, range) in rig.classes() {
        // Class A is proportioned at 0.1 to 1 percent, class B at 1 to 6 (labels of both).
        let most = if class == FoamClass::A { "1 %" } else { "6 %" };
        let classes = spot.at("proportioner").at("classes");
        usual(
            checked,
            &classes.at(class_name(class)).at("to"),
            &range.to,
            ("0.1 %", most),
        );
        let from = classes.at(class_name(class)).at("from");
        usual(checked, &from, &range.from, ("0.05 %", most));
    }
    limits(checked, rig, spot);
    if let Some(time) = &rig.withdrawal {
        // Less is no time to come out in, more leaves nothing to work with (common practice).
        usual(checked, &spot.at("withdrawal"), time, ("30 s", "20 min"));
    }
    if let Some(floor) = &rig.intake_floor {
        // Below 10 psi an intake hose collapses, above 50 psi a floor stops every supply.
        usual(checked, &spot.at("intake-floor"), floor, ("10 psi", "50 psi"));
    }
    if let Some(check) = &rig.checked {
        let days = Day::read(&check.on).zip(check.until.as_deref().and_then(Day::read));
        if days.is_some_and(|(on, until)| until < on || until > on.years_on(1)) {
            let spot = spot.at("checked").at("until");
            checked.note(
                figure(&spot, Code::CheckTooLong, false).with("on", check.on.clone()),
            );
        }
    }
}

/// Relief or governor at most at nine tenths of the service test of the weakest hose (NFPA 1962,
/// 2018).
fn relief(checked: &Checked<'_>, rig: &Rig, spot: &Spot<'_>) {
    let relief = rig.pump.as_ref().and_then(|pump| pump.relief);
    let tenths = Fraction::new(9, 10);
    let attack = rig.outlets.iter().filter(|outlet| outlet.used_for == LineUse::Attack);
    for outlet in attack {
        let Some(test) = &outlet.service_test else { continue };
        let own = spot.at("outlets").entry("outlet", &outlet.id).at("service-test");
        if checked.doubted(&own) || checked.doubted(&spot.at("pump").at("relief")) {
            continue;
        }
        let most = tenths.and_then(|tenths| times(test, tenths));
        if let Some((relief, most)) = relief.zip(most)
            && above(&relief, &most)
        {
            let spot = spot.at("pump").at("relief");
            let other = format!("{} ({})", most.printed(), outlet.title);
            contradicts(checked, &spot, relief.printed(), other);
            return;
        }
    }
}

/// A meter before injection sees water, one behind it solution: the percent is a share of that.
fn meter(checked: &Checked<'_>, rig: &Rig, spot: &Spot<'_>) {
    if let Some(unit) = rig.proportioner.as_ref().filter(|unit| unit.contradicts_meter())
    {
        let place = spot.at("proportioner").at("meter");
        let word = |basis: PercentBasis| format!("basis: {}", basis.word());
        contradicts(
            checked,
            &place,
            format!("meter: {}", Meter::word(unit.meter)),
            word(unit.basis),
        );
    }
}

/// All figures of water are those of the first tank without concentrate; another is told.
fn second_water(checked: &Checked<'_>, rig: &Rig, spot: &Spot<'_>) {
    let mut water = rig.tanks.iter().filter(|tank| tank.concentrate.is_none());
    let Some((first, second)) = water.next().zip(water.next()) else { return };
    let spot = spot.at("tanks").entry("tank", &second.id).at("tank");
    let finding = figure(&spot, Code::SecondWaterTank, false);
    let finding = finding.with("first", first.title.clone());
    checked.note(finding.with("rig", rig.title.clone()));
}

/// Flows between which a percent is held: the least is not the larger, and the most takes no more
/// concentrate than the unit is rated for.
fn capacities(checked: &Checked<'_>, rig: &Rig, spot: &Spot<'_>) {
    let Some(unit) = &rig.proportioner else { return };
    let spots = spot.at("proportioner").at("capacities").items();
    for (one, spot) in unit.capacities.iter().zip(spots) {
        let Some(most) = &one.most else { continue };
        let contradicts = |other: String| {
            contradicts(checked, &spot.at("most"), most.printed(), other);
        };
        if let Some(least) = one.least.filter(|least| above(least, most)) {
            contradicts(least.printed());
        }
        let share = one.percent.number().mul(one.percent.unit().factor());
        let taken = share.and_then(|share| times(most, share));
        if taken.is_some_and(|taken| above(&taken, &unit.rating.flow)) {
            let at = one.percent.printed();
            contradicts(format!("{} ({at})", unit.rating.flow.printed()));
        }
    }
}

/// Hose tests and the flows of a line.
fn line(checked: &Checked<'_>, rig: &Rig, outlet: &Outlet, spot: &Spot<'_>) {
    // Attack hose is tested to 300 psi at least, supply hose to 200 psi (NFPA 1962, 2018, 4.8).
    // Where departments are metric hose is bought by other standards, and attack hose that is tested
    // to 16 bar is ordinary (common practice); nine tenths of the test bind there as well.
    let metric = checked.course.module.units.is_metric();
    let least = match outlet.used_for {
        LineUse::Attack if metric => "1600 kPa",
        LineUse::Attack => "300 psi",
        LineUse::Supply => "200 psi",
    };
    if let Some(test) = &outlet.service_test {
        usual(checked, &spot.at("service-test"), test, (least, "800 psi"));
    }
    // A line of hose without its length or its test could not be checked by anybody.
    for (field, there) in [
        ("service-test", outlet.service_test.is_some()),
        ("length", outlet.length.is_some()),
    ] {
        if outlet.hose.is_some() && !there && spot.at(field).node().is_none() {
            let place = spot.at("outlet").place();
            let finding = Finding::at(Code::FigureNotStated, place).with("figure", field);
            checked.note(finding.with("of", outlet.title.clone()));
        }
    }
    if let Some(most) = &outlet.most_flow {
        let thrice = times(&outlet.flow, Fraction::whole(3));
        if let Some(thrice) = thrice
            && !within(most, &outlet.flow, &thrice)
            && !checked.doubted(&spot.at("flow"))
        {
            unusual(checked, &spot.at("most-flow"), most, (&outlet.flow, &thrice));
        }
    }
    if let Some(least) = &outlet.least_flow
        && above(least, &outlet.flow)
        && !checked.doubted(&spot.at("flow"))
    {
        let flow = outlet.flow.printed();
        contradicts(checked, &spot.at("least-flow"), least.printed(), flow);
    }
    // The day on which the card was checked is the latest that the module knows; there is no
    // clock here.
    let tested = outlet.tested.as_deref().and_then(Day::read);
    let checked_on = rig.checked.as_ref().and_then(|check| Day::read(&check.on));
    if let Some((tested, on)) = tested.zip(checked_on)
        && on > tested.years_on(1)
    {
        let finding = figure(&spot.at("tested"), Code::HoseTestOld, false);
        let finding = finding.with("found", tested.to_string());
        checked.note(finding.with("on", on.to_string()));
    }
}

/// Air needs settings of its own, or the word that the manual decides, and hose that may hold it.
fn air(checked: &Checked<'_>, outlet: &Outlet, spot: &Spot<'_>) {
    if !outlet.air {
        return;
    }
    if spot.at("air-settings").node().is_none() {
        let place = spot.at("air").place();
        let finding = Finding::at(Code::FigureNotStated, place);
        let finding = finding.with("figure", "air-settings");
        checked.note(finding.with("of", outlet.title.clone()));
    }
    if outlet.for_air != ForAir::Yes {
        let finding = Finding::at(Code::HoseNotForAir, spot.at("air").place());
        checked.note(finding.with("outlet", outlet.title.clone()));
    }
    let Some(settings) = &outlet.air_settings else { return };
    let spot = spot.at("air-settings");
    usual(checked, &spot.at("pump"), &settings.pump, ("60 psi", "160 psi"));
    usual(checked, &spot.at("flow"), &settings.flow, ("15 scfm", "200 scfm"));
    // The air would shut out the water, or the water the air.
    let away = |sign: i128| {
        let away = Quantity::read("15 psi").ok()?.in_unit(settings.pump.unit())?.number();
        let number = settings.pump.number().add(away.mul(Fraction::whole(sign))?)?;
        Some(Quantity::new(number, settings.pump.unit()))
    };
    if let Some((least, most)) = away(-1).zip(away(1))
        && !within(&settings.air, &least, &most)
        && !checked.doubted(&spot.at("pump"))
    {
        unusual(checked, &spot.at("air"), &settings.air, (&least, &most));
    }
}

/// All lines with air at once take what the compressor gives.
fn all_air(checked: &Checked<'_>, rig: &Rig, spot: &Spot<'_>) {
    let Some(compressor) = &rig.compressor else { return };
    let lines = rig.outlets.iter().filter(|outlet| outlet.air);
    let flows = lines.filter_map(|outlet| outlet.air_settings.as_ref());
    let flows = flows.filter_map(|settings| settings.flow.in_unit(compressor.air.unit()));
    let sum = flows.map(|flow| flow.number()).try_fold(Fraction::ZERO, Fraction::add);
    let slip = rig.outlets.iter().any(|outlet| {
        let spot = spot.at("outlets").entry("outlet", &outlet.id);
        checked.doubted(&spot.at("air-settings").at("flow"))
    });
    if let Some(sum) = sum
        && sum > compressor.air.number()
        && !slip
    {
        let sum = Quantity::new(sum, compressor.air.unit()).printed();
        let place = spot.at("compressor").at("air");
        let finding = figure(&place, Code::AirAboveCompressor, false).with("found", sum);
        checked.note(finding.with("most", compressor.air.printed()));
    }
}
