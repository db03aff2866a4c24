//! What drills and rigs are called where the title is too long.

use super::{Course, Drill, Rig};

/// Number of a drill: its place in the module, as crews name it over the radio.
pub fn drill_number(course: &Course, drill: &str) -> String {
    let at = course.drills.iter().position(|known| known.id == drill);
    at.map(|at| (at + 1).to_string()).unwrap_or_default()
}

/// The heavy and the light part of a drill's name: "Flush", "until the nozzle reports …".
pub fn drill_name(drill: &Drill) -> (String, String) {
    let Some(short) = &drill.short else { return (drill.title.clone(), String::new()) };
    match drill.title.strip_prefix(short.as_str()) {
        Some(rest) => (short.clone(), rest.trim_start().to_owned()),
        None => (short.clone(), drill.title.clone()),
    }
}

/// One or two words for a rig in the code of a form: E7 for Engine 7. Where two rigs would have
/// the same, each has its short name in capitals.
pub fn rig_code(course: &Course, rig: &str) -> String {
    let Some(own) = course.rigs.get(rig).map(Rig::code) else {
        return rig.to_uppercase();
    };
    let same = course.rigs.values().filter(|other| other.code() == own).count();
    if same > 1 { rig.to_uppercase() } else { own }
}

impl Rig {
    /// First letters and numbers of its title, as crews shorten it: E7.
    pub fn code(&self) -> String {
        let part = |part: &str| {
            if part.starts_with(|c: char| c.is_ascii_digit()) {
                part.to_owned()
            } else {
                part.chars().take(1).flat_map(char::to_uppercase).collect()
            }
        };
        self.title.split_whitespace().map(part).collect()
    }
}
