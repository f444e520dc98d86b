using System.Text.Json.Nodes;
using Pourwright.Evidence.Sealing;

namespace Pourwright.Evidence.Tests.Sealing;

public sealed class SealCheckTests
{
    private static readonly string[] Sites = ["sites/north", "sites/south", "sites/east"];
    private static readonly DateTimeOffset FirstSealing = new(2026, 3, 7, 17, 0, 0, TimeSpan.Zero);

    [Fact]
    public void Links_FiveRows_EqualTheIndependentProgram()
    {
        var vector = JsonNode.Parse(File.ReadAllText("Sealing/merkle_vectors.json"))!["chain"]!;
        var rows = Enumerable.Range(0, 5).Select(row => System.Text.Encoding.UTF8.GetBytes($"row {row}"));
        Assert.Equal(vector["links"]!.AsArray().Select(link => (string)link!), SiteChain.Links((string)vector["site"]!, rows).Select(link => link.Hex));
    }

    [Fact]
    public void Faults_RowsAsRecorded_None()
    {
        var studio = Studio.Recorded(seed: 1);
        Assert.Empty(SealCheck.Faults(studio.Rows, studio.Heads, studio.Kept));
        Assert.Empty(SealCheck.Faults(studio.Rows, studio.Heads, kept: null));
        Assert.Empty(SealCheck.Faults([], [], null));
    }

    /// <summary>Sealing goes on: an older kept seal still holds, and the newer tree is shown to have grown from it.</summary>
    [Fact]
    public void Seal_LaterSealing_OlderSealHolds()
    {
        var studio = Studio.Recorded(seed: 2);
        var first = Seal.Of([], studio.Lasts(), FirstSealing);
        var second = Seal.Of(first.Heads, studio.Lasts(), FirstSealing.AddDays(1));
        SealedHead[] heads = [.. first.Heads, .. second.Heads];

        Assert.Empty(SealCheck.Faults(studio.Rows, heads, first));
        Assert.Empty(SealCheck.Faults(studio.Rows, heads, second));
        var proof = MerkleTree.Consistency(first.HeadCount, Seal.Leaves(heads));
        Assert.True(MerkleTree.IsConsistent(first.HeadCount, first.Root, second.HeadCount, second.Root, proof));
        var head = MerkleTree.Inclusion(4, Seal.Leaves(heads));
        Assert.True(MerkleTree.IsIncluded(heads[4].Leaf(), 4, second.HeadCount, head, second.Root));
    }

    [Theory]
    [InlineData(0)]
    [InlineData(7)]
    [InlineData(11)]
    public void Faults_RowEdited_NamesItsSiteAndPosition(int position)
    {
        var studio = Studio.Recorded(seed: 3, rowsPerSite: 12);
        var edited = studio.Rows.FindIndex(row => row.Site == Sites[1] && row.Position == position);
        studio.Rows[edited] = studio.Rows[edited] with { Canonical = [.. studio.Rows[edited].Canonical, (byte)' '] };

        var fault = SealCheck.Faults(studio.Rows, [], null)[0];
        Assert.Equal((Sites[1], (long?)position), (fault.Site, fault.Position));
    }

    /// <summary>Without a seal a cut tail leaves a sound, shorter chain; with one it shows.</summary>
    [Fact]
    public void Faults_TailCut_FoundByTheSealAlone()
    {
        var studio = Studio.Recorded(seed: 4, rowsPerSite: 12);
        studio.Rows.RemoveAll(row => row.Site == Sites[0] && row.Position >= 9);

        Assert.Empty(SealCheck.Faults(studio.Rows, [], null));
        var fault = Assert.Single(SealCheck.Faults(studio.Rows, [], studio.Kept), fault => fault.Site == Sites[0]);
        Assert.Equal("12 rows were sealed on 2026-03-07T17:00:00.0000000+00:00, 9 are left.", fault.Finding);
    }

    /// <summary>10,000 tamperings by somebody who leaves the links as they were: edit, delete, swap, put in, move to another site, cut.</summary>
    [Fact]
    public void Faults_TenThousandTamperings_AllFound() => Assert.Equal(0, Enumerable.Range(0, 10_000).Count(seed =>
    {
        var studio = Studio.Recorded(seed);
        studio.Tamper(new Random(seed));
        return SealCheck.Faults(studio.Rows, studio.Heads, studio.Kept).Count == 0;
    }));

    /// <summary>10,000 tamperings by somebody who computes all links and heads anew: the seal kept outside finds each.</summary>
    [Fact]
    public void Faults_TenThousandTamperingsWithLinksAndHeadsMadeAnew_AllFoundByTheKeptSeal() => Assert.Equal(0, Enumerable.Range(0, 10_000).Count(seed =>
    {
        var studio = Studio.Recorded(seed);
        studio.Tamper(new Random(seed));
        studio.MakeAnew();
        return SealCheck.Faults(studio.Rows, studio.Heads, studio.Kept).Count == 0;
    }));

    /// <summary>The limit that SealCheck states: what no kept seal reaches can be rewritten unseen.</summary>
    [Fact]
    public void Faults_RowsAfterTheKeptSealRewrittenWithTheirLinks_NotFound()
    {
        var studio = Studio.Recorded(seed: 5);
        var last = studio.Rows.Last(row => row.Site == Sites[0]);
        studio.Rows.Add(SiteChain.Next(Sites[0], last, [1]));
        Assert.Empty(SealCheck.Faults(studio.Rows, studio.Heads, studio.Kept));

        studio.Rows[^1] = SiteChain.Next(Sites[0], last, [2]);
        Assert.Empty(SealCheck.Faults(studio.Rows, studio.Heads, studio.Kept));
    }

    [Fact]
    public void Faults_HeadTakenFromTheList_FoundByTheKeptSeal()
    {
        var studio = Studio.Recorded(seed: 6);
        var fault = Assert.Single(SealCheck.Faults(studio.Rows, [.. studio.Heads.Skip(1)], studio.Kept));
        Assert.Equal("The seal of 2026-03-07T17:00:00.0000000+00:00 stands over 3 heads, 2 are left.", fault.Finding);
    }

    [Theory]
    [InlineData("")]
    [InlineData("ABCD")]
    [InlineData("E3B0C44298FC1C149AFBF4C8996FB92427AE41E4649B934CA495991B7852B855")]
    public void Digest_NoSixtyFourLowerCaseDigits_Refused(string hex) => Assert.Throws<FormatException>(() => Digest.FromHex(hex));

    [Fact]
    public void Digest_FromHex_RoundTrips() => Assert.Equal(Digest.Of([1]), Digest.FromHex(Digest.Of([1]).Hex));

    /// <summary>Three sites of a few invented rows, sealed once.</summary>
    private sealed class Studio
    {
        public required List<ChainRow> Rows { get; set; }
        public required IReadOnlyList<SealedHead> Heads { get; set; }
        public required Seal Kept { get; init; }

        public static Studio Recorded(int seed, int? rowsPerSite = null)
        {
            var random = new Random(seed);
            List<ChainRow> rows = [.. Sites.SelectMany(site => Chain(site, rowsPerSite ?? random.Next(2, 9), random))];
            var seal = Seal.Of([], Lasts(rows), FirstSealing);
            return new() { Rows = rows, Heads = seal.Heads, Kept = seal };
        }

        public IEnumerable<(string Site, ChainRow? Last)> Lasts() => Lasts(Rows);

        public void Tamper(Random random)
        {
            var index = random.Next(Rows.Count);
            var row = Rows[index];
            switch (random.Next(6))
            {
                case 0: Rows[index] = row with { Canonical = Flipped(row.Canonical, random) }; break;
                case 1: Rows.RemoveAt(index); break;
                case 2: Swap(index, random); break;
                case 3: Rows.Insert(index, row with { Canonical = [.. row.Canonical, 1] }); break;
                case 4: Rows[index] = row with { Site = Sites[(Array.IndexOf(Sites, row.Site) + 1) % Sites.Length] }; break;
                default: Rows.RemoveAll(other => other.Site == row.Site && other.Position >= row.Position); break;
            }
        }

        /// <summary>Positions, links and heads as if the rows had been recorded like this.</summary>
        public void MakeAnew()
        {
            Rows = [.. Rows.GroupBy(row => row.Site).SelectMany(chain => Chained(chain.Key, chain.Select(row => row.Canonical)))];
            Heads = Seal.Of([], Lasts(), FirstSealing).Heads;
        }

        private void Swap(int index, Random random)
        {
            var others = Enumerable.Range(0, Rows.Count).Where(other => other != index && Rows[other].Site == Rows[index].Site).ToArray();
            var other = others[random.Next(others.Length)];
            (Rows[index], Rows[other]) = (Rows[index] with { Canonical = Rows[other].Canonical }, Rows[other] with { Canonical = Rows[index].Canonical });
        }

        private static byte[] Flipped(byte[] canonical, Random random)
        {
            byte[] flipped = [.. canonical];
            flipped[random.Next(flipped.Length)] ^= (byte)(1 << random.Next(8));
            return flipped;
        }

        private static List<ChainRow> Chain(string site, int count, Random random) =>
            Chained(site, Enumerable.Range(0, count).Select(row => CanonicalJson.Bytes(new JsonObject { ["row"] = row, ["mass_mg"] = random.Next() })));

        private static List<ChainRow> Chained(string site, IEnumerable<byte[]> canonicals)
        {
            List<ChainRow> rows = [];
            foreach (var canonical in canonicals)
                rows.Add(SiteChain.Next(site, rows.LastOrDefault(), canonical));
            return rows;
        }

        private static IEnumerable<(string, ChainRow?)> Lasts(List<ChainRow> rows) => Sites.Select(site => (site, rows.LastOrDefault(row => row.Site == site)));
    }
}
