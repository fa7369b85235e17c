// Package search finds machines for a task: it chooses axis parts, drives,
// motors, gears, brakes, joints, the stand and its feet, derives what follows
// from them (lengths, ends of travel, cable carriers, guards), and keeps the
// machines that pass every check and that no other one beats.
//
// The choices are judged in stages, the cheap ones first: bounds of one axis by
// itself, then the checks that need no structure, at last the whole machine. A
// bound only ever discards what the whole judgement would refuse; each says why
// beside its code, and a test compares the front with that of a search without
// bounds. What is left out by choice and not by proof is counted apart.
//
// It holds no formula of a check: values come from packages assess, drive,
// equip and motion. It decides nothing about protective measures beyond
// distances, and knows no files. All numbers are SI; frames as in package
// machine. Results do not depend on the number of processors.
package search
