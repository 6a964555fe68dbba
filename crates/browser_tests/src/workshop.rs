//! A new workshop on the demo's documents, served by the built program.

use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};

use anyhow::Context;

use crate::read_until;

/// A workshop that is served until dropped; its folder goes with it.
#[derive(Debug)]
pub struct Workshop {
    server: Child,
    folder: PathBuf,
    /// Its address, without the slash at the end.
    pub url: String,
    /// The code that makes the first owner.
    pub set_up_code: String,
}

impl Workshop {
    /// Serves a workshop of a name that no other test uses.
    ///
    /// # Errors
    /// When the program was not built, or does not start.
    pub fn serve(name: &str) -> anyhow::Result<Self> {
        let folder = std::env::temp_dir().join(format!("archgap-browser-{}-{name}", std::process::id()));
        copy_folder(&Path::new(env!("CARGO_MANIFEST_DIR")).join("../../data/demo"), &folder)?;
        let program = program()?;
        let mut server = Command::new(&program)
            .args(["serve", "--listen", "127.0.0.1:0", "--data"])
            .arg(&folder)
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .with_context(|| format!("{} does not start", program.display()))?;
        let said = server.stderr.take().context("no stderr")?;
        let set_up_code = read_until(said, "one use: ")?;
        let printed = server.stdout.take().context("no stdout")?;
        let url = format!("http://{}", read_until(printed, "http://")?.trim_end_matches('/'));
        Ok(Self { server, folder, url, set_up_code })
    }
}

impl Drop for Workshop {
    fn drop(&mut self) {
        // what cannot be ended or removed here is not what is tested
        self.server.kill().ok();
        self.server.wait().ok();
        std::fs::remove_dir_all(&self.folder).ok();
    }
}

/// The program, built beside the tests.
fn program() -> anyhow::Result<PathBuf> {
    let tests = std::env::current_exe()?;
    let built = tests.ancestors().nth(2).context("tests stand in no folder")?.join("archgap");
    anyhow::ensure!(
        built.exists(),
        "{} is not there: cargo build --release -p archgap first",
        built.display()
    );
    Ok(built)
}

fn copy_folder(from: &Path, to: &Path) -> anyhow::Result<()> {
    std::fs::create_dir_all(to)?;
    for entry in std::fs::read_dir(from)? {
        let entry = entry?;
        let target = to.join(entry.file_name());
        if entry.file_type()?.is_dir() {
            copy_folder(&entry.path(), &target)?;
        } else {
            std::fs::copy(entry.path(), target)?;
        }
    }
    Ok(())
}
