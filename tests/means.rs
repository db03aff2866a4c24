//! What a figure stands for: no feed takes one for another, whoever writes it.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::Path;

use drillwright::course::{FIGURE_NAMES, figure_means};
use drillwright::findings::Code;
use drillwright::formulas::{Formula, Given, GivenKind, Means};
use drillwright::quantity::{Dimension, find};
use drillwright::{authoring, stock};

/// The module without faults, with an example of a formula in its lesson.
fn found(example: &str) -> Vec<drillwright::findings::Finding> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/wrong/base");
    let mut sources: BTreeMap<String, String> = BTreeMap::new();
    let mut pictures = BTreeSet::new();
    for entry in walkdir::WalkDir::new(&folder) {
        let entry = entry.unwrap();
        let name =
            entry.path().strip_prefix(&folder).unwrap().to_str().unwrap().to_owned();
        if name.starts_with("pictures/") {
            pictures.insert(name);
        } else if entry.file_type().is_file() {
            sources.insert(name, fs::read_to_string(entry.path()).unwrap());
        }
    }
    let module = sources.get_mut("module.yaml").unwrap();
    let own = "    formula: concentrate-flow\n    with:\n      percent: 0.5 %\n      flow: 125 gpm\n";
    assert!(module.contains(own));
    *module = module.replace(own, &format!("    rig: pumper\n{example}"));
    // Figures that the small rig does not have otherwise.
    let rig = sources.get_mut("rigs/pumper.yaml").unwrap();
    *rig = rig
        .replace("resolution:", "intake-floor: 20 psi\nresolution:")
        .replace("usable: 28 gal\n", "usable: 28 gal\n  dead: 2 gal\n");
    authoring::read(&sources, &pictures, authoring::Options { draft: false }).1
}

fn has(found: &[drillwright::findings::Finding], code: Code) -> bool {
    found.iter().any(|finding| finding.code == code)
}

fn fed(formula: &str, feed: &str) -> Vec<drillwright::findings::Finding> {
    found(&format!("    formula: {formula}\n    with: {{ {feed} }}\n"))
}

#[test]
fn the_plate_is_not_what_the_pump_can_draw() {
    let of = |foam: &str| {
        fed("foam-endurance", &format!("foam: {foam}, percent: 0.5 %, flow: 125 gpm"))
    };
    for wrong in ["rig.foam-nominal", "rig.water-nominal", "rig.foam-dead"] {
        assert!(has(&of(wrong), Code::OtherMeaning), "{wrong}");
    }
    assert!(!has(&of("rig.foam"), Code::OtherMeaning));
    // A value typed by hand says itself what it is.
    assert!(!has(&of("28 gal"), Code::OtherMeaning));
}

#[test]
fn concentrate_solution_and_water_are_three_flows() {
    let of =
        |flow: &str| fed("concentrate-flow", &format!("percent: 0.5 %, flow: {flow}"));
    assert!(has(&of("rig.rated-flow"), Code::OtherMeaning));
    assert!(!has(&of("rig.least-flow"), Code::OtherMeaning));
    let supply = |flow: &str| {
        fed(
            "endurance",
            &format!(
                "foam: 28 gal, water: 700 gal, percent: 0.5 %, foam-flow: 125 gpm, supply: {flow}"
            ),
        )
    };
    // The flow of a line is no supply, and the least solution of the unit is none either.
    assert!(has(&supply("rig.rated-flow"), Code::OtherMeaning));
    assert!(has(&supply("rig.least-flow"), Code::OtherMeaning));
    assert!(!has(&supply("100 gpm"), Code::OtherMeaning));
}

#[test]
fn a_loss_is_no_pressure_of_a_gauge() {
    let of = |elevation: &str| {
        fed(
            "eductor-pump-pressure",
            &format!(
                "inlet: 200 psi, coefficient: 15.5 psi/(100 gpm)^2/100 ft, flow: 95 gpm, length: 100 ft, elevation: {elevation}"
            ),
        )
    };
    assert!(has(&of("rig.intake-floor"), Code::OtherMeaning));
    assert!(!has(&of("10 psi"), Code::OtherMeaning));
}

#[test]
fn a_figure_of_another_dimension_is_told_where_it_is_written() {
    let of =
        |flow: &str| fed("concentrate-flow", &format!("percent: 0.5 %, flow: {flow}"));
    assert!(has(&of("rig.foam"), Code::WrongDimension));
    assert!(has(&of("rig.rated-pressure"), Code::WrongDimension));
    let percent =
        |name: &str| fed("concentrate-flow", &format!("percent: {name}, flow: 125 gpm"));
    assert!(has(&percent("rig.foam"), Code::WrongDimension));
    assert!(!has(&percent("rig.largest-percent"), Code::WrongDimension));
}

fn givens(formula: &Formula) -> impl Iterator<Item = &Given> {
    formula.givens.iter().flat_map(|given| match &given.kind {
        GivenKind::List { columns } => columns.iter().collect::<Vec<_>>(),
        _ => vec![given],
    })
}

fn dimension(means: Means) -> Dimension {
    match means {
        Means::SolutionFlow
        | Means::WaterFlow
        | Means::ConcentrateFlow
        | Means::LineFlow
        | Means::FreeAir => Dimension::FLOW,
        Means::GaugePressure | Means::AbsolutePressure | Means::PressureLoss => {
            Dimension::PRESSURE
        }
        Means::ListedRate => Dimension::RATE,
        Means::ListedTime => Dimension::TIME,
        Means::UsableVolume
        | Means::NominalVolume
        | Means::DeadVolume
        | Means::GaugeVolume
        | Means::CountedVolume
        | Means::HoseVolume => Dimension::VOLUME,
    }
}

/// A meaning is of the dimension of its given, every flow of the panel's formulas has one, and
/// what the rig's basis chooses from is fed by the flow of a line on both sides.
#[test]
fn the_library_says_what_its_flows_and_pressures_are() {
    let (library, _) = authoring::library(&stock::trade());
    let mut told = BTreeSet::new();
    for formula in library.formulas() {
        for given in givens(formula) {
            let GivenKind::Number { unit, .. } = &given.kind else { continue };
            let unit = find(unit).unwrap();
            if let Some(means) = given.means {
                assert_eq!(dimension(means), unit.dimension, "{}", formula.id);
                told.insert(means);
            }
            let air = unit.symbol == "scfm";
            assert!(
                !air || given.means == Some(Means::FreeAir),
                "{}: {}",
                formula.id,
                given.name
            );
            if unit.dimension == Dimension::PRESSURE {
                assert!(given.means.is_some(), "{}: {}", formula.id, given.name);
            }
        }
    }
    for means in [Means::SolutionFlow, Means::WaterFlow, Means::ConcentrateFlow] {
        assert!(told.contains(&means), "{means:?}");
    }
    for name in FIGURE_NAMES {
        let volume = name.starts_with("water") || name.starts_with("foam");
        let flow = name.ends_with("flow");
        assert_eq!(
            figure_means(name).is_some(),
            volume
                || flow
                || name.contains("pressure")
                || [
                    "air",
                    "intake-floor",
                    "outlet.service-test",
                    "outlet.appliances",
                    "eductor.inlet"
                ]
                .contains(name),
            "{name}"
        );
    }
}
