//! Options → the text of a file with answers, so that there is one reader for both.

use crate::wire::scalar;

/// A value, or fields by name in their order, or the entries of a list.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Part {
    Said(String),
    Fields(Vec<(String, Self)>),
}

/// `name=Engine 7; water-tank.plate=750 gal; lines.1.name=Crosslay 1`; or what is none of it.
pub(super) fn parts(text: &str) -> Result<Part, String> {
    let mut out = Part::Fields(Vec::new());
    // By semicolons, because lists and decimals have commas in them.
    for pair in text.split(';').map(str::trim).filter(|pair| !pair.is_empty()) {
        let (path, said) = pair.split_once('=').ok_or_else(|| pair.to_owned())?;
        let path: Vec<&str> = path.trim().split('.').collect();
        put(&mut out, &path, said.trim()).ok_or_else(|| pair.to_owned())?;
    }
    Ok(out)
}

fn put(into: &mut Part, path: &[&str], said: &str) -> Option<()> {
    let (first, rest) = path.split_first()?;
    let Part::Fields(fields) = into else { return None };
    if first.is_empty() {
        return None;
    }
    let at = match fields.iter().position(|(name, _)| name == first) {
        Some(at) => at,
        None => {
            fields.push(((*first).to_owned(), Part::Fields(Vec::new())));
            fields.len() - 1
        }
    };
    let (_, own) = fields.get_mut(at)?;
    if rest.is_empty() {
        // What is said twice stays twice in nothing.
        let fresh = matches!(own, Part::Fields(inner) if inner.is_empty());
        *own = Part::Said(said.to_owned());
        return fresh.then_some(());
    }
    put(own, rest, said)
}

/// One field of the text, with its key.
pub(super) fn field(key: &str, part: &Part, indent: usize) -> String {
    let blank = " ".repeat(indent);
    match part {
        // A list in one line, as it would stand in the file.
        Part::Said(said) if said.starts_with('[') => format!("{blank}{key}: {said}\n"),
        Part::Said(said) => format!("{blank}{key}: {}\n", scalar(said)),
        Part::Fields(fields) => {
            let numbered =
                |(name, _): &(String, Part)| name.bytes().all(|b| b.is_ascii_digit());
            let mut out = format!("{blank}{key}:\n");
            for (name, part) in fields {
                // No field is called by a number, so numbers count the entries of a list.
                if fields.iter().all(numbered) {
                    out.push_str(&entry(part, indent));
                } else {
                    out.push_str(&field(name, part, indent + 2));
                }
            }
            out
        }
    }
}

/// An entry of a list.
pub(super) fn entry(part: &Part, indent: usize) -> String {
    let blank = " ".repeat(indent);
    match part {
        Part::Said(said) => format!("{blank}- {}\n", scalar(said)),
        Part::Fields(fields) => {
            let all: String =
                fields.iter().map(|(name, part)| field(name, part, indent + 2)).collect();
            let first = all.get(indent + 2..).unwrap_or_default();
            format!("{blank}- {first}")
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn options_are_the_file_they_stand_for() {
        let rig = parts("name=Engine 7; water-tank.plate=750 gal; lines.1.name=A; lines.1.foam=yes; lines.2.name=B; settings=[3 %, 6 %]").unwrap();
        let text = format!("rigs:\n{}", entry(&rig, 0));
        let wanted = "rigs:\n- name: Engine 7\n  water-tank:\n    plate: 750 gal\n  lines:\n  - name: A\n    foam: yes\n  - name: B\n  settings: [3 %, 6 %]\n";
        assert_eq!(text, wanted);
        for odd in ["name", "=x", "a..b=1", "a=1; a=2", "a=1; a.b=2", ".=1"] {
            assert!(parts(odd).is_err(), "{odd}");
        }
        assert_eq!(
            entry(&parts("name=\"x\": y # z").unwrap(), 0),
            "- name: \"\\\"x\\\": y # z\"\n"
        );
    }
}
