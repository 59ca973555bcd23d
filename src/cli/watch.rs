//! Judges a stranger's file in a process of its own and ends that when it takes too long or too much memory.
//!
//! A process and not a thread: a thread can neither be stopped from outside, nor does it survive a stack that runs over or
//! memory that runs out. The bounds of `inspect` come first and say more; these hold where a file gets past them. Our own
//! labels are read back without it.

use super::Stop;
use crate::find::Finding;
use crate::inspect::{MOST_MEMORY, MOST_SECONDS};
use std::env;
use std::ffi::OsString;
use std::io::{Read, Write};
use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::sync::mpsc::{self, RecvTimeoutError};
use std::thread;
use std::time::{Duration, Instant};

/// Tells the second process what it is.
const SIGN: &str = "WAXBILL_WATCHED";
/// How often its memory is looked at.
const STEP: Duration = Duration::from_millis(20);
/// What a program of this kind ends with where its own code panics (the standard library's exit code).
const PANICKED: i32 = 101;
/// Most bytes of complaints that are handed on.
const MOST_WORDS: u64 = 1 << 20;

/// What it may take.
#[derive(Debug, Clone, Copy)]
struct Bounds {
    time: Duration,
    memory: u64,
}

/// How it ended.
#[derive(Debug, PartialEq, Eq)]
enum End {
    /// By itself, with this exit code and these complaints.
    Code(u8, Vec<u8>),
    /// Too slow.
    Time,
    /// Too large.
    Memory,
    /// By a fault of its own code, with these complaints.
    Failed(Vec<u8>),
    /// Without an answer: its stack ran over, or the machine ended it.
    Fallen,
}

/// Runs the same command line once more in a process of its own and answers its exit code; `None` in that process itself.
///
/// # Errors
/// The file `name` takes more than the bounds, or reading it ends the process; no second process can be begun, or it fails.
pub fn apart(arguments: &[OsString], name: &Path) -> Result<Option<u8>, Stop> {
    if env::var_os(SIGN).is_some() {
        leave_with_the_first();
        return Ok(None);
    }
    let failed = |e: std::io::Error| Stop::Machine(format!("the label cannot be read in a process of its own: {e}"));
    let program = env::current_exe().map_err(failed)?;
    let mut command = Command::new(program);
    command.args(arguments.iter().skip(1)).env(SIGN, "1");
    let bounds = Bounds { time: Duration::from_secs(MOST_SECONDS), memory: MOST_MEMORY };
    let name = name.display();
    let cure = "save the label again as a plain PDF: letters as text, no patterns, pictures of a printer's resolution";
    let refused = |message: String, cure: &str| Err(Stop::input(Finding::input("file/pdf", message, cure)));
    match watched(&mut command, bounds).map_err(failed)? {
        End::Code(code, words) => {
            let _ = std::io::stderr().lock().write_all(&words);
            Ok(Some(code))
        }
        End::Failed(words) => {
            let _ = std::io::stderr().lock().write_all(&words);
            Err(Stop::Machine(format!(
                "the program failed while it judged `{name}`, and nothing is said of the label; report this with the file"
            )))
        }
        End::Time => {
            refused(format!("`{name}` takes longer to judge than the most of {MOST_SECONDS} s of processor time"), cure)
        }
        End::Memory => {
            refused(format!("`{name}` takes more memory to judge than the most of {} MB", MOST_MEMORY >> 20), cure)
        }
        End::Fallen => refused(
            format!("`{name}` is damaged or made to do harm: reading it broke off without an answer"),
            "save the label again from the program that drew it",
        ),
    }
}

/// Ends this process when the first one is gone, so that nothing goes on without anybody who waits for it.
#[expect(clippy::exit, reason = "nobody is left to be answered")]
fn leave_with_the_first() {
    thread::spawn(|| {
        let _ = std::io::stdin().lock().read_to_end(&mut Vec::new());
        std::process::exit(3);
    });
}

fn watched(command: &mut Command, bounds: Bounds) -> std::io::Result<End> {
    let mut child = command.stdin(Stdio::piped()).stderr(Stdio::piped()).spawn()?;
    let words = child.stderr.take();
    let (tell, told) = mpsc::channel();
    thread::spawn(move || {
        let mut all = Vec::new();
        if let Some(words) = words {
            let _ = words.take(MOST_WORDS).read_to_end(&mut all);
        }
        let _ = tell.send(all);
    });
    #[expect(clippy::disallowed_methods, reason = "how long the second process has run")]
    let begun = Instant::now();
    let end = loop {
        // What it complains through is closed when it ends.
        match told.recv_timeout(STEP) {
            Ok(words) => break ended(&mut child, words, bounds, begun)?,
            Err(RecvTimeoutError::Disconnected) => break End::Fallen,
            Err(RecvTimeoutError::Timeout) => {}
        }
        if taken(child.id(), begun) > bounds.time {
            break End::Time;
        }
        if resident(child.id()).is_some_and(|bytes| bytes > bounds.memory) {
            break End::Memory;
        }
    };
    let _ = child.kill();
    child.wait()?;
    Ok(end)
}

/// The exit code of a process that has closed its output and is about to end.
fn ended(child: &mut Child, words: Vec<u8>, bounds: Bounds, begun: Instant) -> std::io::Result<End> {
    loop {
        if let Some(status) = child.try_wait()? {
            return Ok(match (status.code(), status.code().and_then(|c| u8::try_from(c).ok())) {
                (Some(PANICKED), _) => End::Failed(words),
                (_, Some(code @ 0..=3)) => End::Code(code, words),
                _ => End::Fallen,
            });
        }
        if taken(child.id(), begun) > bounds.time {
            return Ok(End::Time);
        }
        // It still runs after it has closed its output: nothing that ours does, so the bound holds here too.
        if resident(child.id()).is_some_and(|bytes| bytes > bounds.memory) {
            return Ok(End::Memory);
        }
        thread::sleep(Duration::from_millis(1));
    }
}

/// The processor time a process has taken, where the system tells it as a file (on Linux): on a busy machine a good label may
/// wait long for its turn. Elsewhere, and where it only waits, a quarter of the time on the clock counts.
fn taken(process: u32, begun: Instant) -> Duration {
    let waited = begun.elapsed() / 4;
    processor(process).map_or(waited, |taken| taken.max(waited))
}

/// Fields 14 and 15 of `/proc/PID/stat` (proc(5)), in ticks of which Linux counts a hundred a second for programs.
fn processor(process: u32) -> Option<Duration> {
    let stat = std::fs::read_to_string(format!("/proc/{process}/stat")).ok()?;
    // The name in brackets may hold blanks.
    let mut fields = stat.rsplit_once(')')?.1.split_whitespace().skip(11);
    let ticks = fields.next()?.parse::<u64>().ok()?.checked_add(fields.next()?.parse().ok()?)?;
    ticks.checked_mul(10).map(Duration::from_millis)
}

/// The memory a process holds, in bytes, where the system tells it as a file: on Linux.
fn resident(process: u32) -> Option<u64> {
    let status = std::fs::read_to_string(format!("/proc/{process}/status")).ok()?;
    let line = status.lines().find_map(|line| line.strip_prefix("VmRSS:"))?;
    let kilobytes: u64 = line.trim().strip_suffix("kB")?.trim().parse().ok()?;
    kilobytes.checked_mul(1 << 10)
}

#[cfg(test)]
#[cfg(target_os = "linux")]
mod tests {
    use super::*;

    fn shell(script: &str, seconds: u64, megabytes: u64) -> (End, Duration) {
        let bounds = Bounds { time: Duration::from_secs(seconds), memory: megabytes << 20 };
        #[expect(clippy::disallowed_methods, reason = "how long the test took")]
        let begun = Instant::now();
        (watched(Command::new("sh").args(["-c", script]), bounds).unwrap(), begun.elapsed())
    }

    #[test]
    fn process_that_never_ends_is_ended_at_the_bound() {
        let (end, took) = shell("while :; do :; done", 1, 1000);
        assert_eq!(end, End::Time);
        assert!(took < Duration::from_secs(10), "{took:?}");
        // One that goes on after it has closed its output.
        assert_eq!(shell("exec 2>&-; while :; do :; done", 1, 1000).0, End::Time);
    }

    #[test]
    fn process_that_grows_without_end_is_ended_at_the_bound() {
        // A line without an end.
        let (end, took) = shell("exec sed -n '$p' /dev/zero", 60, 100);
        assert_eq!(end, End::Memory);
        assert!(took < Duration::from_secs(30), "{took:?}");
        // One that grows after it has closed its output.
        assert_eq!(shell("exec 2>&-; exec sed -n '$p' /dev/zero", 60, 100).0, End::Memory);
    }

    #[test]
    fn exit_code_and_complaints_are_handed_on() {
        assert_eq!(shell("echo wrong >&2; exit 2", 60, 1000).0, End::Code(2, b"wrong\n".to_vec()));
        assert_eq!(shell("kill -SEGV $$", 60, 1000).0, End::Fallen);
        assert_eq!(shell("exit 4", 60, 1000).0, End::Fallen);
    }

    #[test]
    fn panic_is_a_fault_of_the_program_and_its_words_are_kept() {
        // The standard library ends a program with 101 after a panic in its main thread.
        assert_eq!(shell("echo panicked >&2; exit 101", 60, 1000).0, End::Failed(b"panicked\n".to_vec()));
    }
}
