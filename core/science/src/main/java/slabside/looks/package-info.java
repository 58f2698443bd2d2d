/** What the inks of a studio are known by, and how they look as films: from its view to colours. */
@org.jspecify.annotations.NullMarked
package slabside.looks;
