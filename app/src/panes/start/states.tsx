import { Button } from "../../parts/button";
import { failure, phase, start } from "../../state/start";

export function Starting() {
  return (
    <main class="whole" aria-busy="true">
      <p>Opening the design…</p>
    </main>
  );
}

export function Failed() {
  return (
    <main class="whole">
      <h1>The program does not answer</h1>
      <p>{failure.value}</p>
      <p>Is it still running where you started it? Its address holds a key that is made anew at every start.</p>
      <Button
        main
        onClick={() => {
          phase.value = "starting";
          void start();
        }}
      >
        Try again
      </Button>
    </main>
  );
}
