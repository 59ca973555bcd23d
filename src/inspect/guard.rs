//! Holds off the panics of the PDF reader on files nobody foresaw, so that they become a finding. Used by `read`, `code`.

use std::cell::Cell;
use std::panic::{self, AssertUnwindSafe};
use std::sync::Once;

thread_local! {
    /// Whether this thread is within [`held`]: what panics there is told as a finding, not on the terminal.
    static QUIET: Cell<bool> = const { Cell::new(false) };
}

static HOOK: Once = Once::new();

/// What `work` gives, or `None` if the reading library panicked within it.
///
/// What `work` had half done is for the caller to throw away.
pub fn held<T>(work: impl FnOnce() -> T) -> Option<T> {
    HOOK.call_once(|| {
        let before = panic::take_hook();
        panic::set_hook(Box::new(move |info| {
            if !QUIET.get() {
                before(info);
            }
        }));
    });
    let before = QUIET.replace(true);
    let done = panic::catch_unwind(AssertUnwindSafe(work));
    QUIET.set(before);
    done.ok()
}
