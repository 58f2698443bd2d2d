/** Body of inks: how stiff, how long, how tacky; fillers and oils; rollers, films and amounts. In SI units unless said. */
@org.jspecify.annotations.NullMarked
package slabside.body;
