using System.Numerics;
using StageView.Rig.Archives;
using StageView.Rig.Assets;

namespace StageView.Rig.Mvr;

/// <summary>Pictures and films of an archive that fixtures show. Whoever renders decodes them, so only what looks like one is laid over anything.</summary>
/// <param name="archive">The archive.</param>
/// <param name="keep">Writes an entry into a folder, by entry, folder and the name that the scene uses; returns its path from the rig file.</param>
internal sealed class MvrMedia(SafeArchive archive, Func<string, string, string, string> keep)
{
    /// <summary>Each is decoded by itself, films by a program of their own.</summary>
    private const int MostFiles = 64;

    /// <summary>Pixels of all pictures: they are held decoded.</summary>
    private const long MostPixels = 64L << 20;

    private static readonly string[] Stills = [".png", ".jpg", ".jpeg"];

    private static readonly string[] Endings =
        [.. Stills, ".gif", ".bmp", ".tif", ".tiff", ".mp4", ".mov", ".mkv", ".webm", ".avi", ".mpg", ".mxf"];

    /// <summary>How files of these kinds begin, and where that stands (from memory of each format's own text).</summary>
    private static readonly (int At, byte[] Bytes)[] Heads =
    [
        (0, "GIF8"u8.ToArray()), (0, "BM"u8.ToArray()), (0, "II*\0"u8.ToArray()), (0, "MM\0*"u8.ToArray()), (4, "ftyp"u8.ToArray()), (4, "moov"u8.ToArray()),
        (4, "mdat"u8.ToArray()), (4, "wide"u8.ToArray()), (4, "free"u8.ToArray()), (4, "skip"u8.ToArray()), (0, [0x1A, 0x45, 0xDF, 0xA3]),
        (8, "AVI "u8.ToArray()), (0, [0, 0, 1, 0xBA]), (0, [0, 0, 1, 0xB3]), (0, [6, 0x0E, 0x2B, 0x34]),
    ];

    private readonly Dictionary<string, Picture> _read = new(StringComparer.OrdinalIgnoreCase);
    private long _pixels;
    private int _files;

    /// <summary>A file that can be laid over pixels, or why it can't.</summary>
    /// <param name="Path">From the rig file; empty where it can't.</param>
    /// <param name="Size">Pixels, or null where its header was not read.</param>
    /// <param name="Film">Whether it has a time of its own.</param>
    /// <param name="Why">Why it can't.</param>
    public sealed record Picture(string Path, Vector2? Size, bool Film, string Why);

    /// <summary>Whether a file's name ends as those of pictures and films do.</summary>
    public static bool IsMedia(string name) => Endings.Contains(Path.GetExtension(name), StringComparer.OrdinalIgnoreCase);

    public Picture Of(string file)
    {
        if (!_read.TryGetValue(file, out var known))
        {
            _read[file] = known = Look(file);
        }

        return known;
    }

    /// <summary>Whether a file was found fit to be laid over something.</summary>
    public bool IsLaid(string file) => _read.TryGetValue(file, out var known) && known.Path.Length > 0;

    private Picture Look(string file)
    {
        if (archive.Find(file) is not { } entry)
        {
            return Not("is not in the archive");
        }

        if (!IsMedia(entry) || archive.TryReadShared(entry) is not { } bytes)
        {
            return Not(IsMedia(entry) ? "can't be unpacked" : "is no picture or film by its ending");
        }

        var still = Stills.Contains(Path.GetExtension(entry), StringComparer.OrdinalIgnoreCase);
        var sides = still ? PictureSize.SidesOf(bytes) : null;
        if (still ? sides is not { Width: > 0, Height: > 0 } : !Array.Exists(Heads, h => bytes.AsSpan(Math.Min(h.At, bytes.Length)).StartsWith(h.Bytes)))
        {
            return Not("does not begin as a file of its ending does");
        }

        if (_files >= MostFiles || (sides is var (w, h) && (w > MostPixels || h > MostPixels || (_pixels += w * h) > MostPixels)))
        {
            return Not($"would be more than is laid: {MostFiles} files, {MostPixels >> 20} million pixels of pictures");
        }

        _files++;
        return new Picture(keep(entry, "media", file), sides is { } s ? new Vector2(s.Width, s.Height) : null, !still, "");
    }

    private static Picture Not(string why) => new("", null, false, why);
}
