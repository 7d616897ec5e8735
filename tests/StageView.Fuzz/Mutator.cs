using System.Text;

namespace StageView.Fuzz;

/// <summary>Changes inputs by chance: bytes, and of texts also their numbers, words, elements and brackets.</summary>
/// <param name="random">Chance.</param>
internal sealed class Mutator(Random random)
{
    private const int Longest = 256 << 10;

    private static readonly byte[] s_edges = [0, 1, 2, 0x7F, 0x80, 0xFE, 0xFF];

    private static readonly string[] s_numbers =
    [
        "0", "-0", "1", "-1", "2", "0.5", "255", "256", "512", "513", "1000", "1025", "4096", "63999", "64000", "65535", "65536", "1000000", "2147483647",
        "2147483648", "-2147483648", "4294967295", "4294967296", "9223372036854775808", "1e-45", "1e-7", "1e12", "3.5e38", "1e308", "1e400", "-1e30", "NaN",
        "Infinity", "00", ".5", "5.", "1,2", "127/1", "127/1s", "256/1", "255/4", "1/0", "None", "",
    ];

    private readonly List<byte[]> _words = [];

    /// <summary>Adds a text's words to those that are put into others.</summary>
    public void Learn(byte[] text)
    {
        if (!IsText(text))
        {
            return;
        }

        var known = _words.Select(Encoding.Latin1.GetString).ToHashSet();
        for (var i = 0; i < text.Length && _words.Count < 5000; i++)
        {
            var to = End(text, i);
            if (to > i && known.Add(Encoding.Latin1.GetString(text, i, to - i)))
            {
                _words.Add(text[i..to]);
            }

            i = Math.Max(i, to);
        }
    }

    /// <param name="seed">What is changed, in a copy.</param>
    /// <param name="others">Inputs that pieces are taken from.</param>
    public byte[] Change(byte[] seed, IReadOnlyList<byte[]> others)
    {
        var bytes = new List<byte>(seed);
        var text = IsText(seed);
        for (var n = 1 << random.Next(4); n > 0 && bytes.Count > 0; n--)
        {
            if (text && random.Next(4) > 0)
            {
                ChangeText(bytes, others);
            }
            else
            {
                ChangeBytes(bytes, others);
            }
        }

        return bytes.Count > Longest ? [.. bytes.Take(Longest)] : [.. bytes];
    }

    private static bool IsText(byte[] bytes) => bytes.Length > 0 && !bytes.AsSpan(0, Math.Min(512, bytes.Length)).Contains((byte)0);

    private static bool IsWord(byte b) => b is >= (byte)'a' and <= (byte)'z' or >= (byte)'A' and <= (byte)'Z' or >= (byte)'0' and <= (byte)'9'
        or (byte)'_' or (byte)'.' or (byte)'-' or (byte)'#' or (byte)'/';

    private static int End(IReadOnlyList<byte> bytes, int from)
    {
        var to = from;
        while (to < bytes.Count && to - from < 64 && IsWord(bytes[to]))
        {
            to++;
        }

        return to;
    }

    private void ChangeBytes(List<byte> bytes, IReadOnlyList<byte[]> others)
    {
        var at = random.Next(bytes.Count);
        switch (random.Next(8))
        {
            case 0:
                bytes[at] = (byte)random.Next(256);
                break;
            case 1:
                bytes[at] ^= (byte)(1 << random.Next(8));
                break;
            case 2:
                bytes[at] = s_edges[random.Next(s_edges.Length)];
                break;
            case 3:
                bytes.RemoveRange(at, Math.Min(bytes.Count - at, random.Next(1, 64)));
                break;
            case 4:
                bytes.InsertRange(at, bytes.GetRange(at, Math.Min(bytes.Count - at, random.Next(1, 64))));
                break;
            case 5 when random.Next(8) == 0:
                bytes.RemoveRange(at, bytes.Count - at);
                break;
            case 6:
                // A count or a length, little-endian.
                for (var i = 0; i < 4 && at + i < bytes.Count; i++)
                {
                    bytes[at + i] = (byte)(i == 3 ? random.Next(2) * 0x7F : s_edges[random.Next(s_edges.Length)]);
                }

                break;
            default:
                var other = others[random.Next(others.Count)];
                var from = random.Next(other.Length + 1);
                bytes.InsertRange(at, other.AsSpan(from, Math.Min(other.Length - from, random.Next(1, 200))).ToArray());
                break;
        }
    }

    private void ChangeText(List<byte> bytes, IReadOnlyList<byte[]> others)
    {
        var at = random.Next(bytes.Count);
        while (at > 0 && IsWord(bytes[at - 1]))
        {
            at--;
        }

        while (at < bytes.Count && !IsWord(bytes[at]))
        {
            at++;
        }

        var length = End(bytes, at) - at;
        switch (random.Next(6))
        {
            case 0 or 1 when length > 0 && _words.Count > 0:
                Replace(bytes, at, length, _words[random.Next(_words.Count)]);
                break;
            case 2 or 3 when length > 0:
                Replace(bytes, at, length, Encoding.ASCII.GetBytes(s_numbers[random.Next(s_numbers.Length)]));
                break;
            case 4:
                var (from, count) = Piece(bytes);
                bytes.RemoveRange(from, count);
                break;
            default:
                var donor = random.Next(2) == 0 ? bytes : [.. others[random.Next(others.Count)]];
                var (first, many) = Piece(donor);
                var piece = donor.GetRange(first, many);
                for (var times = random.Next(8) == 0 ? random.Next(2, 64) : 1; times > 0 && bytes.Count < Longest; times--)
                {
                    bytes.InsertRange(Piece(bytes).From, piece);
                }

                break;
        }
    }

    private static void Replace(List<byte> bytes, int at, int length, byte[] with)
    {
        bytes.RemoveRange(at, length);
        bytes.InsertRange(at, with);
    }

    /// <summary>An element, or what stands between brackets, or a line: whatever begins at or after a place taken by chance.</summary>
    private (int From, int Count) Piece(List<byte> bytes)
    {
        if (bytes.Count == 0)
        {
            return (0, 0);
        }

        var at = random.Next(bytes.Count);
        for (var tries = 0; tries < 2000 && at < bytes.Count; tries++, at++)
        {
            switch (bytes[at])
            {
                case (byte)'{' or (byte)'[':
                    return (at, Between(bytes, at) - at);
                case (byte)'<' when at + 1 < bytes.Count && IsWord(bytes[at + 1]) && bytes[at + 1] != '/':
                    return (at, Element(bytes, at) - at);
                case (byte)'\n':
                    var end = bytes.IndexOf((byte)'\n', at + 1);
                    if (random.Next(4) == 0)
                    {
                        return (at, (end < 0 ? bytes.Count : end) - at);
                    }

                    break;
                default:
                    break;
            }
        }

        return (Math.Min(at, bytes.Count), 0);
    }

    private static int Between(List<byte> bytes, int at)
    {
        var depth = 0;
        for (var i = at; i < bytes.Count; i++)
        {
            depth += bytes[i] is (byte)'{' or (byte)'[' ? 1 : bytes[i] is (byte)'}' or (byte)']' ? -1 : 0;
            if (depth == 0)
            {
                return i + 1;
            }
        }

        return bytes.Count;
    }

    private static int Element(List<byte> bytes, int at)
    {
        var depth = 0;
        for (var i = at; i < bytes.Count; i++)
        {
            if (bytes[i] == '<' && i + 1 < bytes.Count)
            {
                depth += bytes[i + 1] == '/' ? -1 : 1;
            }
            else if (bytes[i] == '>')
            {
                depth -= bytes[i - 1] is (byte)'/' or (byte)'?' ? 1 : 0;
                if (depth <= 0)
                {
                    return i + 1;
                }
            }
        }

        return bytes.Count;
    }
}
