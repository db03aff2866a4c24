//! Percent lines that add up exactly.

/// `earned` of `possible` in tenths of a percent, rounded down: a percent that is printed
/// never reaches a pass mark that the points do not reach.
pub(super) fn tenths(earned: i64, possible: i64) -> Option<i64> {
    (possible > 0).then(|| (earned * 1000).div_euclid(possible))
}

/// The share of each line in tenths of a percent. They add up to [`tenths`] of their sum.
///
/// Each line is rounded down first. What is then missing is a few tenths; they go one each
/// to the lines that lost most by rounding, the earlier line first where two lost the same.
pub(super) fn shares(points: &[i64], possible: i64) -> Option<Vec<i64>> {
    let total = tenths(points.iter().sum(), possible)?;
    let mut shares: Vec<i64> =
        points.iter().map(|points| (points * 1000).div_euclid(possible)).collect();
    let mut by_loss: Vec<(i64, usize)> = points
        .iter()
        .enumerate()
        // Negative, so that the largest loss sorts first and equal ones stay in the order
        // of the sheet.
        .map(|(at, points)| (-(points * 1000).rem_euclid(possible), at))
        .collect();
    by_loss.sort_unstable();
    // Never more than there are lines, and never less than none: each line lost less than a
    // tenth, and the sum was rounded down itself.
    let missing = usize::try_from(total - shares.iter().sum::<i64>()).unwrap_or(0);
    for (_, at) in by_loss.iter().take(missing) {
        if let Some(share) = shares.get_mut(*at) {
            *share += 1;
        }
    }
    Some(shares)
}

/// Tenths as printed, with a true minus.
pub(super) fn printed(tenths: i64) -> String {
    let sign = if tenths < 0 { "−" } else { "" };
    let size = tenths.unsigned_abs();
    format!("{sign}{}.{}", size.div_euclid(10), size.rem_euclid(10))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn thirds_add_up() {
        assert_eq!(shares(&[1, 1, 1], 3), Some(vec![334, 333, 333]));
        assert_eq!(shares(&[2, 1, 0], 3), Some(vec![667, 333, 0]));
        assert_eq!(shares(&[3, -1, 2], 7), Some(vec![428, -143, 286]));
        assert_eq!(shares(&[1], 0), None);
    }

    #[test]
    fn every_split_adds_up_and_no_line_is_a_tenth_away() {
        for possible in 1..40_i64 {
            for first in -3..=possible {
                let points = [first, 3, -2, possible - first, 1];
                let sum: i64 = points.iter().sum();
                let shares = shares(&points, possible).unwrap();
                assert_eq!(Some(shares.iter().sum()), tenths(sum, possible));
                for (points, share) in points.iter().zip(shares) {
                    assert!((share * possible - points * 1000).abs() < possible);
                }
            }
        }
    }

    #[test]
    fn a_percent_is_rounded_down() {
        assert_eq!(tenths(1999, 2500), Some(799));
        assert_eq!(printed(799), "79.9");
        assert_eq!(printed(-1), "−0.1");
    }
}
