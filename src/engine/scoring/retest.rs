//! What several tries do to a pass mark.

use crate::quantity::Fraction;

/// The chance of at least one pass in so many independent tries: `1 − (1 − p)^tries`.
///
/// It shows why attempts are limited and why a retest follows remediation: somebody who
/// passes three times in ten passes at least once in three tries about twice in three.
/// Nothing when the fractions grow beyond 128 bits.
pub fn chance_of_a_pass(once: Fraction, tries: u32) -> Option<Fraction> {
    let fail = Fraction::ONE.sub(once)?;
    let all = (0..tries).try_fold(Fraction::ONE, |all, _| all.mul(fail))?;
    Fraction::ONE.sub(all)
}
