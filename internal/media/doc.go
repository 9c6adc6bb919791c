// Package media makes photographs fit to be kept and shown, and keeps blobs by the SHA-256 of their content.
//
// A phone's photograph says where and when it was taken, and often by whom and with what. The exact place of a rare
// fungus, or of somebody's garden, must not leave the hall inside a picture: every photograph is decoded and encoded
// again, and what was read beforehand is handed to the caller apart from it. The package never keeps or logs what a
// picture says about itself, never believes a file's name, and never decodes before it knows what that will cost.
package media
