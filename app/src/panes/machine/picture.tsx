import { effect } from "@preact/signals";
import { useEffect, useRef, useState } from "preact/hooks";
import { FlatPicture } from "./flat";
import { Handling } from "./handling";
import { looker } from "./looker";
import { Rose } from "./rose";
import { Setting } from "./setting";
import { summary } from "./words";

/** Picture is the canvas with its labels; where there is no WebGL, a drawing without hidden lines instead. */
export function Picture() {
  const frame = useRef<HTMLDivElement>(null);
  const canvas = useRef<HTMLCanvasElement>(null);
  const labels = useRef<HTMLDivElement>(null);
  const [lacking, setLacking] = useState(false);
  useEffect(() => {
    let gone = false;
    let end = () => {};
    void import("./view").then(({ View }) => {
      if (gone || !canvas.current || !frame.current || !labels.current) return;
      let view: InstanceType<typeof View>;
      try {
        view = new View(canvas.current);
      } catch {
        setLacking(true);
        return;
      }
      const setting = new Setting(view, frame.current, labels.current);
      const handling = new Handling(view, canvas.current);
      looker.value = view;
      end = () => {
        looker.value = null;
        handling.dispose();
        setting.dispose();
        view.dispose();
      };
    });
    return () => {
      gone = true;
      end();
    };
  }, []);
  if (lacking) return <FlatPicture />;
  return (
    <div class="picture" ref={frame}>
      <canvas
        ref={canvas}
        tabIndex={0}
        role="img"
        aria-label="Drawing of the machine"
        aria-describedby="machine-words"
      />
      <img class="printed" alt="" />
      <div class="labels" ref={labels} aria-hidden="true" />
      <Rose />
      <Words />
    </div>
  );
}

/** Words is the picture for those who do not see it. */
function Words() {
  const text = useRef<HTMLParagraphElement>(null);
  useEffect(
    () =>
      effect(() => {
        if (text.current) text.current.textContent = summary.value;
      }),
    [],
  );
  return <p class="aloud" id="machine-words" ref={text} />;
}
