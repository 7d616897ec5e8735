using System.Net;

namespace StageView.Wire.Names;

/// <summary>A service that another machine offers in the group.</summary>
/// <param name="Name">Its instance name, plain.</param>
/// <param name="Address">Where it is reached.</param>
/// <param name="Port">TCP port.</param>
/// <param name="Texts">Values of its TXT record by key.</param>
public sealed record ServiceSeen(string Name, IPAddress Address, int Port, IReadOnlyDictionary<string, string> Texts);

/// <summary>What multicast DNS has said of a group's services, as long as it lasts. Bounded: what comes past the bound is not kept.</summary>
internal sealed class NameCache(string type, string group)
{
    /// <summary>Records kept, over all names.</summary>
    public const int MostRecords = 1024;

    /// <summary>Seconds that a record stays after it was taken back or another took its place (RFC 6762, 10.1 and 10.2).</summary>
    private static readonly TimeSpan Grace = TimeSpan.FromSeconds(1);

    private readonly string[] _groups = ServiceOffer.NamesOf(type, group);
    private readonly List<(DnsRecord Record, TimeSpan Since, TimeSpan Until)> _kept = [];

    /// <summary>The names to ask for.</summary>
    public IEnumerable<DnsQuestion> Questions => _groups.Select(g => new DnsQuestion(g, DnsNumbers.Ptr)).Concat(Unresolved());

    /// <summary>PTR records that need not be told again, with the time they have left.</summary>
    public IEnumerable<DnsRecord> Known(TimeSpan now) => _kept
        .Where(k => k.Record.Type == DnsNumbers.Ptr && k.Until - now > (k.Until - k.Since) / 2)
        .Select(k => k.Record with { Ttl = (uint)(k.Until - now).TotalSeconds });

    public void Take(DnsMessage message, TimeSpan now)
    {
        if (!message.IsResponse)
        {
            return;
        }

        _kept.RemoveAll(k => k.Until <= now);
        foreach (var r in message.Answers.Concat(message.Others).Where(Concerns))
        {
            if (r.Flush)
            {
                for (var i = 0; i < _kept.Count; i++)
                {
                    var k = _kept[i];
                    if (k.Record.Type == r.Type && DnsName.Same(k.Record.Name, r.Name) && now - k.Since > Grace && k.Until > now + Grace)
                    {
                        _kept[i] = k with { Until = now + Grace };
                    }
                }
            }

            _kept.RemoveAll(k => k.Record.Says(r));
            if (r.Ttl > 0 && _kept.Count < MostRecords)
            {
                _kept.Add((r, now, now + TimeSpan.FromSeconds(Math.Min(r.Ttl, DnsNumbers.OtherTtl))));
            }
        }
    }

    /// <summary>The services of which name, port and address are known.</summary>
    public IReadOnlyList<ServiceSeen> Seen(TimeSpan now)
    {
        _kept.RemoveAll(k => k.Until <= now);
        var seen = new List<ServiceSeen>();
        foreach (var name in Instances())
        {
            foreach (var srv in Of(name, DnsNumbers.Srv))
            {
                if (Of(srv.Target, DnsNumbers.A).LastOrDefault()?.Address is { } address && srv.Port > 0)
                {
                    seen.Add(new ServiceSeen(DnsName.First(name), address, srv.Port, Values(Of(name, DnsNumbers.Txt).LastOrDefault()?.Texts ?? [])));
                }
            }
        }

        return [.. seen.DistinctBy(s => (s.Address, s.Port))];
    }

    private List<string> Instances() => [.. _kept
        .Where(k => k.Record.Type == DnsNumbers.Ptr && _groups.Any(g => DnsName.Same(g, k.Record.Name)))
        .Select(k => k.Record.Target)

        // A group's name with a service of its own is read as the standard's text can be read, too: a station that has no label of its own.
        .Concat(_kept.Where(k => k.Record.Type == DnsNumbers.Srv && _groups.Any(g => k.Record.Name.EndsWith(g, StringComparison.OrdinalIgnoreCase)))
            .Select(k => k.Record.Name))
        .Distinct(StringComparer.OrdinalIgnoreCase)];

    private IEnumerable<DnsRecord> Of(string name, ushort type) =>
        _kept.Where(k => k.Record.Type == type && DnsName.Same(k.Record.Name, name)).Select(k => k.Record);

    private IEnumerable<DnsQuestion> Unresolved()
    {
        foreach (var name in Instances())
        {
            var srv = Of(name, DnsNumbers.Srv).LastOrDefault();
            if (srv is null)
            {
                yield return new DnsQuestion(name, DnsNumbers.Srv);
            }

            if (!Of(name, DnsNumbers.Txt).Any())
            {
                yield return new DnsQuestion(name, DnsNumbers.Txt);
            }

            if (srv is not null && !Of(srv.Target, DnsNumbers.A).Any())
            {
                yield return new DnsQuestion(srv.Target, DnsNumbers.A);
            }
        }
    }

    /// <summary>Whether a record is of this kind of service, or of a host that one of its services is on.</summary>
    private bool Concerns(DnsRecord r) => r.Type switch
    {
        DnsNumbers.Ptr => _groups.Any(g => DnsName.Same(g, r.Name)),
        DnsNumbers.Srv or DnsNumbers.Txt => r.Name.EndsWith(type + ".local.", StringComparison.OrdinalIgnoreCase),
        DnsNumbers.A => true,
        _ => false,
    };

    private static Dictionary<string, string> Values(IReadOnlyList<string> texts)
    {
        var values = new Dictionary<string, string>(StringComparer.OrdinalIgnoreCase);
        foreach (var text in texts)
        {
            var cut = text.IndexOf('=', StringComparison.Ordinal);
            values.TryAdd(cut < 0 ? text : text[..cut], cut < 0 ? "" : text[(cut + 1)..]);
        }

        return values;
    }
}
