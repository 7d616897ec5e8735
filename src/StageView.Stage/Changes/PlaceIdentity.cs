using System.Buffers.Binary;
using System.Security.Cryptography;
using System.Text;
using StageView.Rig.Pieces;
using StageView.Stage.Levels;

namespace StageView.Stage.Changes;

/// <summary>
/// What each place of the levels is, as a number that stays the same when other fixtures, universes or addresses come and go: a fixture's channel by their
/// names, a colour of pixels by its profile.
/// </summary>
internal sealed class PlaceIdentity
{
    private readonly ulong[] _of;

    public PlaceIdentity(RigScene rig, UniverseMap map, IReadOnlyList<string> groups)
    {
        var first = map.Count * 512;
        _of = new ulong[first + groups.Count];
        foreach (var fixture in rig.Fixtures)
        {
            foreach (var channel in fixture.Mode.Channels)
            {
                for (var i = 0; i < channel.Offsets.Count; i++)
                {
                    // Fixtures that share addresses are one: the first gives its name.
                    if (map.Locate(fixture, channel.Break, channel.Offsets[i]) is >= 0 and var place && _of[place] == 0)
                    {
                        _of[place] = Hash($"{fixture.Name}\n{channel.Name}\n{i}");
                    }
                }
            }
        }

        for (var g = 0; g < groups.Count; g++)
        {
            _of[first + g] = Hash(groups[g]);
        }
    }

    public ulong Of(int place) => _of[place];

    /// <summary>
    /// A sketch of a set of places, 32 bytes in hexadecimal: the share of equal bytes of two sketches estimates how many places both sets have among all that
    /// either has (Broder 1997, "On the resemblance and containment of documents": the least value under each of several hash functions).
    /// </summary>
    public string Sketch(IEnumerable<int> places)
    {
        Span<ulong> least = stackalloc ulong[32];
        least.Fill(ulong.MaxValue);
        var any = false;
        foreach (var place in places)
        {
            any = true;
            for (var k = 0; k < least.Length; k++)
            {
                least[k] = Math.Min(least[k], Mix(_of[place] + ((ulong)(k + 1) * 0x9E3779B97F4A7C15)));
            }
        }

        Span<byte> sketch = stackalloc byte[least.Length];
        for (var k = 0; k < least.Length; k++)
        {
            sketch[k] = (byte)least[k];
        }

        return any ? Convert.ToHexStringLower(sketch) : "";
    }

    private static ulong Hash(string text)
    {
        Span<byte> hash = stackalloc byte[32];
        SHA256.HashData(Encoding.UTF8.GetBytes(text), hash);
        return BinaryPrimitives.ReadUInt64BigEndian(hash) | 1;
    }

    /// <summary>The finaliser of SplitMix64 (Steele, Lea and Flood 2014): every bit of the input moves every bit of the output.</summary>
    private static ulong Mix(ulong x)
    {
        x = (x ^ (x >> 30)) * 0xBF58476D1CE4E5B9;
        x = (x ^ (x >> 27)) * 0x94D049BB133111EB;
        return x ^ (x >> 31);
    }
}
