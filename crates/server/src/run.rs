//! Listening until told to stop.

use std::future::Future;
use std::net::SocketAddr;
#[cfg(unix)]
use std::task::Poll;

use tokio::net::TcpListener;

use crate::app::App;
use crate::routes::router;

/// Serves until `stop` ends; requests under way are answered first.
///
/// # Errors
/// Where the listener fails.
pub async fn serve(
    app: App,
    listener: TcpListener,
    stop: impl Future<Output = ()> + Send + 'static,
) -> std::io::Result<()> {
    let service = router(app.clone()).into_make_service_with_connect_info::<SocketAddr>();
    let tidying = tokio::spawn(tidy_daily(app.clone()));
    let served = axum::serve(listener, service).with_graceful_shutdown(stop).await;
    tidying.abort();
    app.store.close().await;
    served
}

/// Ends when the process is told to stop: interrupt, and on Unix terminate too. It listens from the call on.
pub fn told_to_stop() -> impl Future<Output = ()> + Send + Unpin + 'static {
    #[cfg(unix)]
    {
        use tokio::signal::unix::{SignalKind, signal};
        let mut signals = [SignalKind::interrupt(), SignalKind::terminate()].map(signal);
        Box::pin(std::future::poll_fn(move |context| {
            let mut heard = signals.iter_mut().flatten().map(|signal| signal.poll_recv(context));
            if heard.any(|heard| heard.is_ready()) { Poll::Ready(()) } else { Poll::Pending }
        }))
    }
    #[cfg(not(unix))]
    Box::pin(async {
        let _ = tokio::signal::ctrl_c().await;
    })
}

async fn tidy_daily(app: App) {
    const DAY: std::time::Duration = std::time::Duration::from_secs(24 * 60 * 60);
    loop {
        if let Err(e) = app.store.tidy(app.now_ms()).await {
            eprintln!("error: tidying failed: {e}");
        }
        tokio::time::sleep(DAY).await;
    }
}
