using System.Security.Cryptography;
using System.Text;

namespace StageView.Live.Server;

/// <summary>What a device may do that is let in.</summary>
internal enum DoorRole
{
    /// <summary>Look, ask, and open what it likes for itself; change nothing that others have.</summary>
    Look,

    /// <summary>Everything, leading too.</summary>
    Lead,
}

/// <summary>One-time keys, and the sessions that they open. Only hashes are kept.</summary>
internal sealed class DoorKeys(TimeProvider clock)
{
    /// <summary>Letters and digits that nobody takes for another.</summary>
    private const string Letters = "23456789abcdefghjkmnpqrstuvwxyz";

    /// <summary>Letters of a key: 31^10 are as many as 49.5 bits. A key opens once, so that it needn't resist a search of what was written down.</summary>
    private const int KeyLength = 10;

    private const int MostOpen = 32;
    private static readonly TimeSpan KeyLife = TimeSpan.FromHours(12);
    private static readonly TimeSpan SessionLife = TimeSpan.FromHours(24);
    private readonly Lock _gate = new();
    private readonly Dictionary<string, (DateTimeOffset At, DoorRole Role)> _keys = [];
    private readonly Dictionary<string, (DateTimeOffset At, DoorRole Role)> _sessions = [];

    /// <summary>A short key that opens the door once, such as <c>k7q4m-2xn9a</c>.</summary>
    public string NewKey(DoorRole role)
    {
        var key = RandomNumberGenerator.GetString(Letters, KeyLength);
        lock (_gate)
        {
            Trim(_keys, KeyLife);
            _keys[Hash(key)] = (clock.GetUtcNow(), role);
        }

        return key.Insert(KeyLength / 2, "-");
    }

    /// <summary>Uses a key up; the session it opened, or null when it never was one or was used before.</summary>
    public string? Spend(string? key)
    {
        // As somebody may type it off a screen.
        if (key?.Replace("-", "", StringComparison.Ordinal).ToLowerInvariant() is not { Length: KeyLength } plain)
        {
            return null;
        }

        lock (_gate)
        {
            Trim(_keys, KeyLife);
            if (!_keys.Remove(Hash(plain), out var opens))
            {
                return null;
            }

            Trim(_sessions, SessionLife);
            var session = Random();
            _sessions[Hash(session)] = (clock.GetUtcNow(), opens.Role);
            return session;
        }
    }

    /// <summary>What a session may do; null for none.</summary>
    public DoorRole? Opens(string? session)
    {
        if (session is not { Length: 32 })
        {
            return null;
        }

        var hash = Hash(session);
        lock (_gate)
        {
            if (!_sessions.TryGetValue(hash, out var used) || clock.GetUtcNow() - used.At > SessionLife)
            {
                return null;
            }

            _sessions[hash] = (clock.GetUtcNow(), used.Role);
            return used.Role;
        }
    }

    private static string Random() => Convert.ToHexStringLower(RandomNumberGenerator.GetBytes(16));

    // A look-up by hash leaks no prefix of the key through its time.
    private static string Hash(string secret) => Convert.ToHexString(SHA256.HashData(Encoding.ASCII.GetBytes(secret)));

    private void Trim(Dictionary<string, (DateTimeOffset At, DoorRole Role)> table, TimeSpan life)
    {
        var now = clock.GetUtcNow();
        foreach (var old in table.Where(p => now - p.Value.At > life).Select(p => p.Key).ToList())
        {
            table.Remove(old);
        }

        while (table.Count >= MostOpen)
        {
            table.Remove(table.MinBy(p => p.Value.At).Key);
        }
    }
}
