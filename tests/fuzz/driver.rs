//! Runs a target: tries again what once failed, then as many inputs as are asked for, each made of bytes by its number and
//! the seed. What fails is made smaller and kept. How far the inputs got is counted and said.

use std::collections::BTreeMap;
use std::fmt::Display;
use std::fs;
use std::panic::{self, AssertUnwindSafe};
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicU64, Ordering};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};
use std::time::{Duration, Instant};

use crate::MEMORY;
use crate::draw::Draw;
use crate::seeds::{files, project};

/// A function over bytes and what must hold of it.
pub(crate) struct Target<I> {
    pub(crate) name: &'static str,
    /// How many inputs `cargo test` tries.
    pub(crate) short: u64,
    /// The most bytes of an input.
    pub(crate) longest: usize,
    /// The most memory, in bytes, that one input may ask for at a time.
    pub(crate) memory: usize,
    /// How far an input may get, from the first step to the last.
    pub(crate) steps: &'static [&'static str],
    /// The share of inputs, in a hundred, that must get to the last step: below it the target tries the door alone.
    pub(crate) least: u64,
    /// What bytes stand for.
    pub(crate) make: fn(&mut Draw<'_>) -> I,
    /// Tries it and panics where something does not hold; how many steps it got.
    pub(crate) judge: fn(&I) -> usize,
}

impl<I: Display> Target<I> {
    /// Tries one input, whoever made its bytes.
    pub(crate) fn run(&self, bytes: &[u8]) -> usize {
        let input = (self.make)(&mut Draw::of(bytes));
        let before = MEMORY.current_usage();
        MEMORY.reset_peak_usage();
        let steps = (self.judge)(&input);
        let asked = MEMORY.peak_usage().saturating_sub(before);
        assert!(asked <= self.memory, "{asked} bytes of memory were asked for");
        steps
    }
}

/// How long an input may take before it is said to hang: far above the slowest, on a machine with other work.
const HANGS: Duration = Duration::from_secs(300);

/// How often a failing input may be tried while it is made smaller.
const SHRINKING: usize = 2_000;

/// Where the last panic was, and what it said.
static PANIC: Mutex<String> = Mutex::new(String::new());

/// Targets take turns, since memory and panics are counted for the whole process.
static TURN: Mutex<()> = Mutex::new(());

fn locked<T>(mutex: &Mutex<T>) -> MutexGuard<'_, T> {
    mutex.lock().unwrap_or_else(PoisonError::into_inner)
}

/// A number that the environment gives.
fn asked(name: &str) -> Option<u64> {
    std::env::var(name).ok().map(|text| text.parse().unwrap_or_else(|_| panic!("{name} is a number: {text}")))
}

/// The bytes of one input: the same for the same seed and number.
fn bytes(seed: u64, number: u64, longest: usize) -> Vec<u8> {
    let mut random = fastrand::Rng::with_seed(seed.wrapping_mul(0x9e37_79b9_7f4a_7c15) ^ number);
    let mut bytes = vec![0; 1 + random.usize(..longest)];
    random.fill(&mut bytes);
    bytes
}

/// A folder of this process for what a target must hand over as a file: in memory, where the system has such a place.
pub(crate) fn folder() -> PathBuf {
    let memory = Path::new("/dev/shm");
    let home = if memory.is_dir() { memory.to_owned() } else { std::env::temp_dir() };
    let folder = home.join(format!("coilstick-fuzz-{}", std::process::id()));
    fs::create_dir_all(&folder).unwrap();
    folder
}

/// What an input panics with; nothing where it holds.
fn fails<I: Display>(target: &Target<I>, bytes: &[u8]) -> Result<usize, String> {
    panic::catch_unwind(AssertUnwindSafe(|| target.run(bytes))).map_err(|_| locked(&PANIC).clone())
}

/// Runs a target as long as the environment asks for.
pub(crate) fn drive<I: Display>(target: &Target<I>) {
    let _turn = locked(&TURN);
    let hook = panic::take_hook();
    panic::set_hook(Box::new(|info| {
        // Of several threads the first to fail is the cause.
        let mut panic = locked(&PANIC);
        if panic.is_empty() {
            *panic = info.to_string();
        }
    }));
    let failed = panic::catch_unwind(AssertUnwindSafe(|| search(target)));
    panic::set_hook(hook);
    let failed = failed.unwrap_or_else(|_| Some(locked(&PANIC).clone()));
    if let Some(failed) = failed {
        panic!("{failed}\nits files are in {}", folder().display());
    }
    let _ = fs::remove_dir_all(folder());
}

/// So many places of failure are looked for at most: one fault seldom comes alone.
const PLACES: usize = 8;

/// Where something did not hold: the first line of what it said.
fn place(why: &str) -> String {
    why.lines().next().unwrap_or("").to_owned()
}

/// Tries what is kept, then new inputs; what failed, once a place, made smaller and kept.
fn search<I: Display>(target: &Target<I>) -> Option<String> {
    let mine = |path: &PathBuf| path.file_name().unwrap().to_string_lossy().starts_with(target.name);
    for path in files(&project("tests/fuzz/found")).into_iter().filter(mine) {
        locked(&PANIC).clear();
        if let Err(why) = fails(target, &fs::read(&path).unwrap()) {
            return Some(format!("{} fails again: {why}", path.display()));
        }
    }
    let (seed, turns) = (asked("FUZZ_SEED").unwrap_or(1), asked("FUZZ").unwrap_or(target.short));
    let first = asked("FUZZ_FIRST").unwrap_or(0);
    let (begun, number) = (Instant::now(), Arc::new(AtomicU64::new(0)));
    watch(target.name, seed, target.longest, &number);
    let mut reached = vec![0_u64; target.steps.len() + 1];
    let mut slowest = (Duration::ZERO, 0);
    let mut failed: BTreeMap<String, String> = BTreeMap::new();
    for turn in first..first + turns {
        number.store(turn, Ordering::Relaxed);
        let tried = bytes(seed, turn, target.longest);
        locked(&PANIC).clear();
        let started = Instant::now();
        match fails(target, &tried) {
            Ok(steps) => reached[steps] += 1,
            Err(why) if failed.contains_key(&place(&why)) => {}
            Err(why) => {
                let small = keep(target, tried, &why);
                println!("{small}\n");
                failed.insert(place(&why), small);
                if failed.len() == PLACES {
                    break;
                }
            }
        }
        slowest = slowest.max((started.elapsed(), turn));
        if (turn - first + 1).is_multiple_of((turns / 10).max(1)) {
            println!("{}: {} of {turns} in {} s", target.name, turn - first + 1, begun.elapsed().as_secs());
        }
    }
    number.store(u64::MAX, Ordering::Relaxed);
    println!("{}: {turns} executions, seed {seed}, {} s", target.name, begun.elapsed().as_secs());
    println!("  the slowest took {} ms: number {}", slowest.0.as_millis(), slowest.1);
    for (at, step) in target.steps.iter().enumerate() {
        let got: u64 = reached.iter().skip(at + 1).sum();
        println!("  {:>3} % {step} ({got})", got * 100 / turns.max(1));
    }
    if !failed.is_empty() {
        return Some(failed.into_values().collect::<Vec<_>>().join("\n\n"));
    }
    // Of so few that hardly any gets to the last step whether one does is chance, and the step before it is looked at.
    let by_chance = turns * target.least < 500;
    let got = if by_chance { &reached[reached.len() - 2..] } else { &reached[reached.len() - 1..] };
    let last = got.iter().sum::<u64>() * 100 / turns.max(1);
    (last < target.least)
        .then(|| format!("{}: {last} % got to the end, {} % at least", target.name, target.least))
}

/// Ends the process where an input hangs, since nothing else can; its bytes are kept.
fn watch(name: &'static str, seed: u64, longest: usize, number: &Arc<AtomicU64>) {
    let number = Arc::clone(number);
    std::thread::spawn(move || {
        let (mut seen, mut since) = (u64::MAX, Instant::now());
        loop {
            std::thread::sleep(Duration::from_secs(1));
            let now = number.load(Ordering::Relaxed);
            if now == u64::MAX {
                return;
            }
            if now != seen {
                (seen, since) = (now, Instant::now());
            } else if since.elapsed() > HANGS {
                let path = put(name, &bytes(seed, now, longest));
                println!("{name}: number {now} of seed {seed} hangs; its bytes are in {}", path.display());
                std::process::exit(101);
            }
        }
    });
}

/// Makes a failing input smaller, keeps it, and says what it is.
fn keep<I: Display>(target: &Target<I>, mut failing: Vec<u8>, why: &str) -> String {
    let mut tries = 0;
    let mut still = |bytes: &[u8]| {
        tries += 1;
        locked(&PANIC).clear();
        tries < SHRINKING && fails(target, bytes).is_err_and(|other| place(&other) == place(why))
    };
    let mut piece = failing.len().div_ceil(2);
    while piece > 0 {
        let mut at = 0;
        while at < failing.len() {
            let end = (at + piece).min(failing.len());
            let without = [&failing[..at], &failing[end..]].concat();
            let mut zeroed = failing.clone();
            zeroed[at..end].fill(0);
            if still(&without) {
                failing = without;
            } else {
                if zeroed != failing && still(&zeroed) {
                    failing = zeroed;
                }
                at = end;
            }
        }
        piece /= 2;
    }
    let path = put(target.name, &failing);
    let _ = fails(target, &failing);
    let input = (target.make)(&mut Draw::of(&failing));
    format!("{} fails: {why}\nits bytes are in {}\n{input}", target.name, path.display())
}

/// Writes bytes beside those that once failed, under a name of their own.
fn put(name: &str, bytes: &[u8]) -> PathBuf {
    let mark = bytes.iter().fold(0xcbf2_9ce4_8422_2325_u64, |mark, byte| {
        (mark ^ u64::from(*byte)).wrapping_mul(0x0100_0000_01b3)
    });
    let path = project("tests/fuzz/found").join(format!("{name}-{mark:016x}"));
    fs::write(&path, bytes).unwrap();
    path
}
