// Package account balances the books of a record: where every square
// millimetre of fabric that was drawn has gone, and what it cost.
//
// Each class is measured by itself (plies by their own area, slivers by
// clipping the plies out of the usable rectangle), so that the balance is a
// check and not a definition.
package account
