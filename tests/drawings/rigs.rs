//! Rigs made up for drawings.

use drillwright::course::{
    AirSettings, Eductor, FoamSide, Outlet, ProportionerKind, ReturnPath, Rig,
};
use drillwright::quantity::Quantity;

/// Every kind of proportioner.
pub(super) const KINDS: [ProportionerKind; 4] = [
    ProportionerKind::DirectInjection,
    ProportionerKind::AroundThePump,
    ProportionerKind::BalancedPressure,
    ProportionerKind::InLineEductor,
];

/// A name by a number.
pub(super) type Name = fn(usize) -> String;

/// Ways to name things: short, many words, one long word, the widest letters; 30 of them.
pub(super) const NAMES: &[(&str, Name)] = &[
    ("short", |at| format!("Line {at}")),
    ("of many words", |at| format!("Outlet no. {at} by the left wheel")),
    ("of one word", |at| format!("Schaumrohranschlussleitung-{at}")),
    ("wide", |_| "W".repeat(30)),
];

/// A rig of a kind with so many outlets: the first has foam, every third is plain, some have air;
/// every second one has a second foam tank, ways back on both sides, and eductors.
pub(super) fn rig(plain: &Rig, kind: ProportionerKind, count: usize, name: Name) -> Rig {
    let mut rig = plain.clone();
    rig.id = format!("of-{count}");
    rig.proportioner.as_mut().unwrap().kind = kind;
    let (air, settings) = (plain.outlets[0].air, plain.outlets[0].air_settings.clone());
    rig.outlets = (0..count)
        .map(|at| outlet(&plain.outlets[0], at, (air, settings.clone()), name(at)))
        .collect();
    rig.tanks.iter_mut().for_each(|tank| tank.title = name(100));
    if count.is_multiple_of(2) {
        let mut second = rig.tanks[1].clone();
        second.id = "foam-b".to_owned();
        second.title = name(101);
        rig.tanks.push(second);
        rig.check_valve = true;
    }
    rig.returns = (0..count.min(4))
        .map(|at| ReturnPath {
            id: format!("way-{at}"),
            title: name(200 + at),
            side: [FoamSide::BeforeInjection, FoamSide::AfterInjection][at % 2],
        })
        .collect();
    let quantity = |text: &str| Quantity::read(text).unwrap();
    if kind == ProportionerKind::InLineEductor {
        rig.eductors = (0..count.div_ceil(2))
            .map(|at| Eductor {
                id: format!("eductor-{at}"),
                flow: quantity("95 gpm"),
                inlet: quantity("200 psi"),
                back_pressure: quantity("65 %"),
                pick_up: None,
                settings: ["0.5 %", "1 %", "3 %", "6 %"].map(quantity).to_vec(),
                outlet: (at > 0).then(|| format!("line-{at}")),
                tank: (at % 2 == 1).then(|| "foam-a".to_owned()),
                product: None,
            })
            .collect();
    }
    rig
}

fn outlet(
    like: &Outlet,
    at: usize,
    (air, settings): (bool, Option<AirSettings>),
    title: String,
) -> Outlet {
    let mut outlet = like.clone();
    outlet.id = format!("line-{at}");
    outlet.title = title;
    outlet.foam = at % 3 != 1;
    outlet.air = outlet.foam && air && at.is_multiple_of(2);
    outlet.air_settings = settings.filter(|_| at.is_multiple_of(4));
    outlet
}
