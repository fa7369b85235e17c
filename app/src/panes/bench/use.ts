import { useEffect } from "preact/hooks";

/** useFollow runs what keeps something up to date while a bench is open. */
export function useFollow(...begin: (() => () => void)[]): void {
  useEffect(() => {
    const ends = begin.map((b) => b());
    return () => {
      for (const end of ends) end();
    };
  }, []);
}
