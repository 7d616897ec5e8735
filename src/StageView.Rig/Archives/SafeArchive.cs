using System.IO.Compression;
using System.IO.Hashing;
using StageView.Rig.Source;

namespace StageView.Rig.Archives;

/// <summary>
/// Reads zip archives that nobody vouches for: nothing is written to disk, names that would lead elsewhere and names that
/// differ only by case are refused, unpacked bytes are counted and held against the entry's CRC.
/// </summary>
internal sealed class SafeArchive : IDisposable
{
    private readonly ZipArchive _zip;
    private readonly ArchiveBudget _budget;
    private readonly Dictionary<string, ZipArchiveEntry> _entries = new(StringComparer.Ordinal);

    private readonly Dictionary<string, string> _forms = new(StringComparer.Ordinal);
    private readonly Dictionary<string, string> _files = new(StringComparer.Ordinal);

    private readonly Dictionary<string, byte[]?> _shared = new(StringComparer.Ordinal);

    private SafeArchive(ZipArchive zip, ArchiveBudget budget)
    {
        _zip = zip;
        _budget = budget;
    }

    public ArchiveBudget Budget => _budget;

    public IEnumerable<string> Names => _entries.Keys;

    public static SafeArchive? TryOpen(byte[] bytes, ArchiveBudget budget, out string why)
    {
        if (bytes.Length == 0)
        {
            why = "the file is empty";
            return null;
        }

        return TryOpen(new MemoryStream(bytes, writable: false), budget, out why);
    }

    /// <param name="stream">The archive; closed with it, or where it can't be opened.</param>
    /// <param name="budget">What it may unpack to.</param>
    /// <param name="why">Why it can't be opened.</param>
    public static SafeArchive? TryOpen(Stream stream, ArchiveBudget budget, out string why)
    {
        ZipArchive zip;
        try
        {
            zip = new ZipArchive(stream, ZipArchiveMode.Read);
            if (zip.Entries.Count == 0)
            {
                zip.Dispose();
                why = "the archive is empty";
                return null;
            }
        }
        catch (Exception e) when (e is InvalidDataException or IOException or ArgumentException or NotSupportedException or OverflowException)
        {
            stream.Dispose();
            why = "not a zip archive, or a damaged one";
            return null;
        }

        var archive = new SafeArchive(zip, budget);
        why = archive.Index();
        if (why.Length == 0)
        {
            return archive;
        }

        archive.Dispose();
        return null;
    }

    public bool Has(string name) => _entries.ContainsKey(name);

    /// <summary>
    /// The entry that a file means by a name: the one written so; else the same but for case, blanks and percent-encoding; else the only one of that file name
    /// in any folder. Null where there is none.
    /// </summary>
    public string? Find(string name)
    {
        name = name.Replace('\\', '/');
        if (name.Length == 0 || Has(name))
        {
            return name.Length == 0 ? null : name;
        }

        if (_forms.Count == 0)
        {
            foreach (var entry in _entries.Keys)
            {
                // Two that are alike but for their form are no answer.
                _forms[Form(entry)] = _forms.ContainsKey(Form(entry)) ? "" : entry;
                _files[Bare(entry)] = _files.ContainsKey(Bare(entry)) ? "" : entry;
            }
        }

        var found = _forms.TryGetValue(Form(name), out var same) ? same : _files.GetValueOrDefault(Bare(name), "");
        return found.Length > 0 ? found : null;
    }

    public byte[]? TryRead(string name, out string why)
    {
        if (!_entries.TryGetValue(name, out var entry))
        {
            why = $"there is no {name} in the archive";
            return null;
        }

        if (entry.IsEncrypted)
        {
            why = $"{name} is encrypted";
            return null;
        }

        try
        {
            using var from = entry.Open();
            using var to = new MemoryStream();
            var buffer = new byte[81920];
            var crc = new Crc32();
            for (int n; (n = from.Read(buffer)) > 0;)
            {
                if (to.Length + n > ArchiveBudget.MaxEntryBytes)
                {
                    why = $"{name} unpacks to more than {ArchiveBudget.MaxEntryBytes >> 20} MiB";
                    return null;
                }

                if ((_budget.Left -= n) < 0)
                {
                    why = "the archive unpacks to more than 512 MiB";
                    return null;
                }

                crc.Append(buffer.AsSpan(0, n));
                to.Write(buffer, 0, n);
            }

            if (to.Length != entry.Length)
            {
                why = $"{name} says it holds {entry.Length} bytes but holds {to.Length}";
                return null;
            }

            if (crc.GetCurrentHashAsUInt32() != entry.Crc32)
            {
                why = $"{name} is damaged (its checksum doesn't fit)";
                return null;
            }

            why = "";
            return to.ToArray();
        }
        catch (Exception e) when (e is InvalidDataException or IOException or NotSupportedException)
        {
            why = $"{name} can't be unpacked: {e.Message}";
            return null;
        }
    }

    /// <summary>An entry that several others name: unpacked once. Null where it can't be.</summary>
    public byte[]? TryReadShared(string name)
    {
        if (!_shared.TryGetValue(name, out var bytes))
        {
            _shared[name] = bytes = TryRead(name, out _);
        }

        return bytes;
    }

    public void Dispose() => _zip.Dispose();

    private string Index()
    {
        if (_zip.Entries.Count > ArchiveBudget.MaxEntries)
        {
            return $"the archive holds {_zip.Entries.Count} entries, more than {ArchiveBudget.MaxEntries}";
        }

        var folded = new HashSet<string>(StringComparer.OrdinalIgnoreCase);
        foreach (var e in _zip.Entries)
        {
            var name = e.FullName.Replace('\\', '/');
            if (name.StartsWith('/') || name.Contains(':', StringComparison.Ordinal) || name.Contains('\0', StringComparison.Ordinal)
                || name.Split('/').Contains(".."))
            {
                return $"an entry is named \"{Shown(e.FullName)}\", which leads outside the archive";
            }

            if (name.EndsWith('/'))
            {
                continue;
            }

            if (!folded.Add(name))
            {
                return $"two entries are named \"{Shown(name)}\" (names must differ by more than case)";
            }

            _entries.Add(name, e);
        }

        return "";
    }

    private static string Form(string name) => NameForm.Of(Uri.UnescapeDataString(name)).TrimStart('.', '/').ToUpperInvariant();

    private static string Bare(string name)
    {
        var form = Form(name);
        return form[(form.LastIndexOf('/') + 1)..];
    }

    private static string Shown(string name) =>
        new([.. name.Take(80).Select(c => char.IsControl(c) ? '?' : c)]);
}
