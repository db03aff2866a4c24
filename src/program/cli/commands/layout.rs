//! Text laid out for a terminal of 80 columns and more.

/// A paragraph wider than this is hard to read; narrower terminals wrap by themselves.
const WIDTH: usize = 88;

/// A paragraph in lines, each behind the same indent. Other blanks than the ordinary one do
/// not break: a unit stays with its number.
pub(super) fn wrapped(text: &str, indent: &str) -> String {
    let mut out = String::new();
    let mut used = 0;
    for word in text.split([' ', '\n']).filter(|word| !word.is_empty()) {
        let length = word.chars().count();
        // A word that is longer than a line stands on one of its own: nothing is cut.
        if used == 0 || used + 1 + length > WIDTH {
            out.push_str(if used == 0 { "" } else { "\n" });
            out.push_str(indent);
            used = indent.chars().count();
        } else {
            out.push(' ');
            used += 1;
        }
        out.push_str(word);
        used += length;
    }
    out.push('\n');
    out
}

/// Rows whose cells stand below each other; the last cell is as long as it likes.
pub(super) fn columns(rows: &[Vec<String>], indent: &str) -> String {
    // Told once and not for each row: a table of a county's marks has 20,000 of them.
    let mut widths: Vec<usize> = Vec::new();
    for row in rows {
        let cells = row.iter().take(row.len().saturating_sub(1));
        for (column, cell) in cells.enumerate() {
            let used = cell.chars().count();
            match widths.get_mut(column) {
                Some(width) => *width = used.max(*width),
                None => widths.push(used),
            }
        }
    }
    let mut out = String::new();
    for row in rows {
        let mut line = indent.to_owned();
        for (column, cell) in row.iter().enumerate() {
            line.push_str(cell);
            if column + 1 < row.len() {
                let used = cell.chars().count();
                let wanted = widths.get(column).copied().unwrap_or(used) + 2;
                line.push_str(&" ".repeat(wanted.saturating_sub(used)));
            }
        }
        out.push_str(line.trim_end());
        out.push('\n');
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn cells_stand_below_each_other() {
        let rows = [vec!["a".into(), "b".into()], vec!["long".into(), "c".into()]];
        assert_eq!(columns(&rows, " "), " a     b\n long  c\n");
    }

    #[test]
    fn a_unit_stays_with_its_number() {
        let text = format!("{} 95\u{a0}gpm", "x".repeat(WIDTH - 3));
        assert!(wrapped(&text, "").ends_with("\n95\u{a0}gpm\n"));
    }
}
