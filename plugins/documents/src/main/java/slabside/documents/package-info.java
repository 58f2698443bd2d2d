/** What is printed, signed and filed: each a report of one answer. */
@org.jspecify.annotations.NullMarked
package slabside.documents;
