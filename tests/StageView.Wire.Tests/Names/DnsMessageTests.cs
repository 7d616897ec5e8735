using System.Net;
using StageView.Wire.Names;

namespace StageView.Wire.Tests.Names;

public sealed class DnsMessageTests
{
    private static readonly ServiceOffer s_offer = new("_mvrxchange._tcp", "tour.one", "desk \\ left", "desk-1", IPAddress.Parse("10.1.2.3"), 4711,
        ["StationName=desk left", "StationUUID=6f2cc0a8-7f3c-4b28-a0cc-08aa4b51b3f1"]);

    [Fact]
    public void What_is_written_is_read_again()
    {
        var message = s_offer.Announcement(goodbye: false);
        message.Questions.Add(new DnsQuestion(s_offer.InstanceName, DnsNumbers.Any));
        var read = DnsMessage.Read(message.Write())!;
        Assert.True(read.IsResponse);
        Assert.Equal(message.Questions, read.Questions);
        Assert.Equal(message.Answers.Count, read.Answers.Count);
        Assert.All(message.Answers.Zip(read.Answers), p => Assert.True(p.First.Says(p.Second), p.First.Name));
        Assert.Equal(message.Answers.Select(a => (a.Ttl, a.Flush)), read.Answers.Select(a => (a.Ttl, a.Flush)));
    }

    // RFC 1035, 4.1.4: F.ISI.ARPA at 20, FOO.F.ISI.ARPA at 40 by a pointer to 20, ARPA at 64 by a pointer to 26.
    [Fact]
    public void Names_are_unpacked_as_the_standards_own_example()
    {
        // The three names as questions, the first where the header ends: the pointers lead 8 bytes less far than there.
        var message = new byte[12 + 16 + 10 + 6];
        message[5] = 3;
        "\u0001F\u0003ISI\u0004ARPA\0"u8.CopyTo(message.AsSpan(12));
        message[25] = 12;
        message[27] = 1;
        "\u0003FOO"u8.CopyTo(message.AsSpan(28));
        (message[32], message[33], message[35], message[37]) = (0xC0, 12, 12, 1);
        (message[38], message[39], message[41], message[43]) = (0xC0, 18, 12, 1);
        Assert.Equal(["F.ISI.ARPA.", "FOO.F.ISI.ARPA.", "ARPA."], DnsMessage.Read(message)!.Questions.Select(q => q.Name));
    }

    [Theory]
    [InlineData(new byte[] { 0xC0, 12, 0, 12, 0, 1 })]
    [InlineData(new byte[] { 1, (byte)'a', 0xC0, 14, 0, 12, 0, 1 })]
    [InlineData(new byte[] { 0xC0, 200, 0, 12, 0, 1 })]
    [InlineData(new byte[] { 0x80, 1, 0, 12, 0, 1 })]
    [InlineData(new byte[] { 63, 1 })]
    [InlineData(new byte[] { 0 })]
    public void A_name_that_leads_in_a_circle_or_out_of_the_message_is_refused(byte[] question) =>
        Assert.Null(DnsMessage.Read([0, 0, 0, 0, 0, 1, 0, 0, 0, 0, 0, 0, .. question]));

    [Fact]
    public void A_name_longer_than_a_name_can_be_is_refused()
    {
        var name = Enumerable.Repeat((byte[])[40, .. new byte[40]], 7).SelectMany(b => b).ToArray();
        Assert.Null(DnsMessage.Read([0, 0, 0, 0, 0, 1, 0, 0, 0, 0, 0, 0, .. name, 0, 0, 12, 0, 1]));
    }

    [Fact]
    public void Bytes_of_chance_and_cut_messages_never_throw()
    {
        var random = new Random(7);
        var good = s_offer.Announcement(goodbye: false).Write();
        for (var i = 0; i < 20_000; i++)
        {
            var bytes = good[..random.Next(good.Length + 1)];
            for (var k = random.Next(6); k > 0 && bytes.Length > 0; k--)
            {
                bytes[random.Next(bytes.Length)] = (byte)random.Next(256);
            }

            if (DnsMessage.Read(bytes) is { } read)
            {
                Assert.InRange(read.Answers.Count + read.Others.Count, 0, DnsNumbers.MostRecords);
            }
        }
    }

    [Fact]
    public void A_query_is_answered_with_what_it_does_not_know_and_what_will_be_asked_next()
    {
        var query = new DnsMessage();
        query.Questions.Add(new DnsQuestion("TOUR\\.ONE._mvrxchange._tcp.local.", DnsNumbers.Ptr));
        var answer = s_offer.Answer(query)!;
        Assert.Equal(s_offer.InstanceName, Assert.Single(answer.Answers).Target);
        Assert.Equal([DnsNumbers.Srv, DnsNumbers.Txt, DnsNumbers.A], answer.Others.Select(o => o.Type));

        query.Answers.Add(answer.Answers[0]);
        Assert.Null(s_offer.Answer(query));

        // RFC 6762, 7.1: what has less than half its time left is told again.
        query.Answers[0] = query.Answers[0] with { Ttl = DnsNumbers.OtherTtl / 3 };
        Assert.NotNull(s_offer.Answer(query));

        var other = new DnsMessage();
        other.Questions.Add(new DnsQuestion("another._mvrxchange._tcp.local.", DnsNumbers.Ptr));
        Assert.Null(s_offer.Answer(other));
    }

    [Fact]
    public void A_cache_keeps_what_lasts_drops_what_is_taken_back_and_has_a_bound()
    {
        var cache = new NameCache("_mvrxchange._tcp", "tour.one");
        cache.Take(DnsMessage.Read(s_offer.Announcement(goodbye: false).Write())!, TimeSpan.Zero);
        var seen = Assert.Single(cache.Seen(TimeSpan.FromSeconds(100)));
        Assert.Equal(("desk \\ left", 4711, "10.1.2.3", "desk left"), (seen.Name, seen.Port, seen.Address.ToString(), seen.Texts["StationName"]));
        Assert.Empty(cache.Seen(TimeSpan.FromSeconds(121)));

        cache.Take(s_offer.Announcement(goodbye: false), TimeSpan.FromSeconds(130));
        Assert.Single(cache.Seen(TimeSpan.FromSeconds(131)));
        cache.Take(s_offer.Announcement(goodbye: true), TimeSpan.FromSeconds(132));
        Assert.Empty(cache.Seen(TimeSpan.FromSeconds(132)));

        var stranger = new DnsMessage { IsResponse = true };
        stranger.Answers.AddRange(Enumerable.Range(0, 5000).Select(i => new DnsRecord
        {
            Name = "tour\\.one._mvrxchange._tcp.local.", Type = DnsNumbers.Ptr, Ttl = 4500, Target = $"s{i}._mvrxchange._tcp.local.",
        }));
        cache.Take(stranger, TimeSpan.FromSeconds(140));
        Assert.Equal(NameCache.MostRecords, cache.Known(TimeSpan.FromSeconds(141)).Count());
    }

    [Fact]
    public void Another_group_is_not_seen()
    {
        var cache = new NameCache("_mvrxchange._tcp", "tour.two");
        cache.Take(s_offer.Announcement(goodbye: false), TimeSpan.Zero);
        Assert.Empty(cache.Seen(TimeSpan.FromSeconds(1)));
    }
}
