using System.Globalization;
using System.Security.Cryptography;
using System.Text;
using StageView.Rig.Pieces;
using StageView.Rig.Source;

namespace StageView.Paperwork.Lists;

/// <summary>What every sheet and file of the paperwork carries: whose it is, for where, of when, and from what it was made.</summary>
/// <param name="Tour">Name of the rig.</param>
/// <param name="Venue">Name of the venue; empty without one.</param>
/// <param name="Date">Date or revision; may be empty.</param>
/// <param name="Hash">First eight hexadecimal digits of the SHA-256 of the files it was made from.</param>
public sealed record PaperStamp(string Tour, string Venue, string Date, string Hash)
{
    /// <summary>Tour and venue, as a heading has them.</summary>
    public string Heading => Venue.Length > 0 ? $"{Tour}: {Venue}" : Tour;

    /// <summary>Date and hash.</summary>
    public string Made => Date.Length > 0 ? $"{Date}, made from files {Hash}" : $"made from files {Hash}";

    /// <summary>All of it.</summary>
    public string Line => $"{Heading}; {Made}";

    /// <summary>
    /// The stamp of a rig. Paths and times of files play no part: the same files elsewhere give the same hash. Videos, and masks of frames, are not on paper
    /// and not in it.
    /// </summary>
    /// <param name="rig">The rig, with the files it was read from.</param>
    /// <param name="date">Date or revision.</param>
    public static PaperStamp Of(RigScene rig, string date)
    {
        ArgumentNullException.ThrowIfNull(rig);
        using var all = IncrementalHash.CreateHash(HashAlgorithmName.SHA256);
        foreach (var file in rig.Files.Where(f => f.Found && f.Kind is not (SourceFileKind.Content or SourceFileKind.Mask)))
        {
            all.AppendData(Encoding.UTF8.GetBytes($"{file.Kind} {Path.GetFileName(file.FullPath)}\n"));
            try
            {
                using var read = File.OpenRead(file.FullPath);
                all.AppendData(SHA256.HashData(read));
            }
            catch (Exception e) when (e is IOException or UnauthorizedAccessException)
            {
                all.AppendData(Encoding.UTF8.GetBytes("gone since"));
            }
        }

        return new PaperStamp(rig.Name, rig.Venue, date, Convert.ToHexStringLower(all.GetHashAndReset())[..8]);
    }

    /// <summary>Today, as the stamp has dates.</summary>
    public static string Today(TimeProvider clock)
    {
        ArgumentNullException.ThrowIfNull(clock);
        return clock.GetLocalNow().ToString("yyyy-MM-dd", CultureInfo.InvariantCulture);
    }

    /// <summary>A list with the stamp as its last note.</summary>
    public PaperTable On(PaperTable table)
    {
        ArgumentNullException.ThrowIfNull(table);
        return table with { Notes = [.. table.Notes, Line] };
    }
}
