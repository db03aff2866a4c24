//! Drawings that a lesson or a drill card shows: hose, counters, a chain of drills.

use drillwright::publish::drawing::{Counted, Hose, counter, evolution, hose};
use drillwright::stock;

use super::quantity;
use super::svg::{Svg, bare};

#[test]
fn hose_counter_and_evolution_are_sound() {
    let words = stock::words();
    for state in Hose::ALL {
        let one = Svg::read(&hose(&words, &[state]).svg_html);
        one.is_sound("hose");
        assert_eq!(one.lines.len(), 2, "{}", one.code);
    }
    Svg::read(&hose(&words, &Hose::ALL).svg_html).is_sound("all hoses");
    for (foam, flush, concentrate) in [
        ("870 gal", "86 gal", Some("4.4 gal")),
        ("1 gal", "99999 gal", None),
        ("99999 gal", "1 gal", Some("0.1 gal")),
        ("3300 L", "330 L", Some("16.5 L")),
        ("0 gal", "0 gal", None),
        ("5 psi", "5 gal", None),
    ] {
        let counted = Counted {
            foam_part: quantity(foam),
            flush_part: quantity(flush),
            concentrate: concentrate.map(quantity),
        };
        let drawing = counter(&words, &counted);
        let svg = Svg::read(&drawing.svg_html);
        svg.is_sound(foam);
        for figure in [foam, flush].into_iter().chain(concentrate) {
            let figure = bare(&quantity(figure).printed());
            assert!(svg.letters().contains(&figure), "{figure}: {}", svg.letters());
            assert!(bare(&drawing.sentence).contains(&figure), "{}", drawing.sentence);
        }
    }
    let names = ["Startup", "Change of percent", "Flush", "Purge", "WWWWWWWWWWWWWWWWWW"];
    for count in 0..=12 {
        let names: Vec<&str> = names.iter().cycle().take(count).copied().collect();
        for met in 0..=count {
            let drawing = evolution(&words, "An evening", &names, met);
            let svg = Svg::read(&drawing.svg_html);
            svg.is_sound(&format!("{count} drills"));
            assert_eq!(drawing.sentence.matches(" met").count(), met);
            assert_eq!(drawing.sentence.matches("to come").count(), count - met);
            for name in &names {
                assert!(svg.letters().contains(&bare(name)), "{name}");
            }
        }
    }
}

#[test]
fn they_read_so() {
    let words = stock::words();
    insta::assert_snapshot!("hose", hose(&words, &Hose::ALL).svg_html);
    let counted = Counted {
        foam_part: quantity("870 gal"),
        flush_part: quantity("86 gal"),
        concentrate: Some(quantity("4.4 gal")),
    };
    insta::assert_snapshot!("counter", counter(&words, &counted).svg_html);
    let names = ["Startup", "Percent", "Flush", "Purge", "Refill"];
    let drawing = evolution(&words, "From brake to in service", &names, 2);
    insta::assert_snapshot!("evolution", drawing.svg_html);
}
