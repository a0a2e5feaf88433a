// Hears of every change of the plan, and comes back when the connection breaks.

const slowest = 5000; // ms between two tries

/** Calls `heard` with each piece of news and `lost` when there is nobody to bring any. */
export function listen(heard, lost) {
  let wait = 250;
  const connect = () => {
    const socket = new WebSocket(new URL("/-/news", location.href.replace(/^http/, "ws")));
    socket.onmessage = (e) => {
      wait = 250;
      heard(JSON.parse(e.data));
    };
    socket.onclose = () => {
      lost();
      setTimeout(connect, wait);
      wait = Math.min(2 * wait, slowest);
    };
  };
  connect();
}
