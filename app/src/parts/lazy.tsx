import { Component, type ComponentChildren, type ComponentType } from "preact";
import { useEffect, useState } from "preact/hooks";

/**
 * later makes a component of one that is fetched when it is first shown, so
 * that the picture and the editor do not hold up the numbers.
 */
export function later<P extends object>(fetch: () => Promise<{ default: ComponentType<P> }>): ComponentType<P> {
  let loaded: ComponentType<P> | null = null;
  return function Later(props: P) {
    const [Shown, setShown] = useState<{ it: ComponentType<P> } | null>(loaded && { it: loaded });
    const [failed, setFailed] = useState("");
    useEffect(() => {
      if (Shown) return;
      let here = true;
      fetch().then(
        (m) => {
          loaded = m.default;
          if (here) setShown({ it: m.default });
        },
        (e: unknown) => here && setFailed(String(e)),
      );
      return () => {
        here = false;
      };
    }, [Shown]);
    if (failed)
      return <p class="notice notice-wrong">This pane could not be fetched: {failed}. Load the page again.</p>;
    if (!Shown) return <p class="notice">Fetching…</p>;
    return (
      <Guard>
        <Shown.it {...props} />
      </Guard>
    );
  };
}

/** Guard keeps a pane that fails from taking the page with it. */
class Guard extends Component<{ children: ComponentChildren }, { failed: string }> {
  override state = { failed: "" };

  static override getDerivedStateFromError(e: unknown) {
    return { failed: e instanceof Error ? e.message : String(e) };
  }

  override render() {
    if (!this.state.failed) return this.props.children;
    return (
      <div class="notice notice-wrong" role="alert">
        <p>This pane failed and shows nothing; the rest of the page works on. ({this.state.failed})</p>
        <button type="button" class="link" onClick={() => this.setState({ failed: "" })}>
          Try again
        </button>
      </div>
    );
  }
}
