//! Which words of the label are the slip of which statement: the likeliest pair first, no words for two. Part of `review`.

use super::Desk;
use super::statement::{self, Close, Taken};
use super::task::Task;
use crate::find::Finding;

/// How often a statement whose words another took is looked for anew.
const AGAIN: usize = 3;

/// Tells of every statement that was not found what comes near it, or that nothing does.
pub fn share(desk: &Desk<'_>, absent: Vec<&Task<'_>>, taken: &mut Taken, findings: &mut Vec<Finding>) {
    let mut rest: Vec<(&Task<'_>, Option<Close<'_>>, usize)> =
        absent.into_iter().map(|t| (t, statement::near(desk, t, taken), 0)).collect();
    while let Some(n) = likeliest(&rest) {
        let (task, close, tries) = &mut rest[n];
        let Some(found) = close.take() else { break };
        if found.near.glyphs.iter().any(|&g| taken.contains(&(found.page, g))) {
            *tries += 1;
            if *tries <= AGAIN {
                *close = statement::near(desk, task, taken);
            }
            continue;
        }
        taken.extend(found.near.glyphs.iter().map(|&g| (found.page, g)));
        findings.push(statement::told_near(desk, task, &found));
        rest.remove(n);
    }
    findings.extend(rest.iter().map(|(task, ..)| statement::lacking(desk, task)));
}

/// The first of those that are most alike.
fn likeliest(rest: &[(&Task<'_>, Option<Close<'_>>, usize)]) -> Option<usize> {
    let mut best: Option<(usize, f64)> = None;
    for (n, (_, close, _)) in rest.iter().enumerate() {
        if let Some(close) = close
            && best.is_none_or(|(_, alike)| close.near.alike > alike)
        {
            best = Some((n, close.near.alike));
        }
    }
    best.map(|(n, _)| n)
}
